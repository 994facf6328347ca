#include "app/panels/panels.h"

#include "app/panels/rows.h"
#include "plugins/api/panel_kit.h"

namespace brae::app {

namespace kit = plugin::kit;

void draw_view_panel(Session& session, float scale) {
    kit::heading("View");

    // Height factor; behind the ball the ground has its true height.
    const bool behind = session.camera.kind() == ViewKind::behind_ball;
    float factor = static_cast<float>(session.camera.exaggeration());
    ImGui::BeginDisabled(behind);
    if (slider_row("Height", &factor, 1, 20, behind ? "true" : "%.1f x", scale, true).moved)
        session.camera.set_exaggeration(static_cast<double>(factor));
    ImGui::EndDisabled();

    const auto combo = [&](const char* label, const char* id, int* index, const char* const* names, int count) {
        ImGui::AlignTextToFramePadding();
        ImGui::TextDisabled("%s", label);
        ImGui::SameLine(kLabelWidth * scale);
        ImGui::SetNextItemWidth(-1);
        return ImGui::Combo(id, index, names, count, count);
    };
    // What the ground is coloured by; the last four answer for every ball spot.
    static const char* grounds[] = {"plain", "slope", "aim to the hole", "break to the hole", "launch to the hole", "entry direction"};
    int ground = static_cast<int>(session.choice.ground);
    if (combo("Ground", "##ground", &ground, grounds, 6)) session.choice.ground = static_cast<GroundColour>(ground);

    // Scales, named as published. Aims have a middle and directions close on themselves: theirs are fixed.
    static const char* names[] = {"cividis", "viridis", "davos", "lapaz", "CET-CBD1", "CET-CBC1"};
    const bool aim = session.choice.ground == GroundColour::aim_offset, entry = session.choice.ground == GroundColour::entry;
    int scale_index = aim ? 4 : entry ? 5 : static_cast<int>(session.choice.scale);
    ImGui::BeginDisabled(aim || entry || session.choice.ground == GroundColour::plain);
    if (combo("Colours", "##scale", &scale_index, names, aim || entry ? 6 : 4)) session.choice.scale = static_cast<plugin::ScaleName>(scale_index);
    ImGui::EndDisabled();
    if (is_read_map(session.choice.ground) && !session.map.refusal().empty()) kit::remark(kit::capital(session.map.refusal()));

    // What is drawn, in two columns.
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, {3 * scale, 3 * scale});
    const float start = ImGui::GetCursorPosX(), half = ImGui::GetContentRegionAvail().x / 2;
    const auto box = [&](const char* name, bool* on, int column) {
        if (column > 0) ImGui::SameLine(start + static_cast<float>(column) * half);
        ImGui::Checkbox(name, on);
    };
    box("Contours", &session.choice.contours, 0);
    box("Fall lines", &session.choice.fall_lines, 1);
    box("Marks", &session.choice.marks, 0);
    box("Read", &session.choice.read, 1);
    ImGui::PopStyleVar();
}

}  // namespace brae::app
