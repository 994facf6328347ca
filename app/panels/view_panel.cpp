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

    // Colours of the slope, named as published.
    static const char* names[] = {"cividis", "viridis", "davos", "lapaz"};
    int scale_index = static_cast<int>(session.choice.scale);
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Colours");
    ImGui::SameLine(kLabelWidth * scale);
    ImGui::SetNextItemWidth(-1);
    if (ImGui::Combo("##scale", &scale_index, names, 4)) session.choice.scale = static_cast<plugin::ScaleName>(scale_index);

    // What is drawn, in three columns.
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, {3 * scale, 3 * scale});
    const float start = ImGui::GetCursorPosX(), third = ImGui::GetContentRegionAvail().x / 3;
    const auto box = [&](const char* name, bool* on, int column) {
        if (column > 0) ImGui::SameLine(start + static_cast<float>(column) * third);
        ImGui::Checkbox(name, on);
    };
    box("Slope", &session.choice.slope, 0);
    box("Contours", &session.choice.contours, 1);
    box("Fall lines", &session.choice.fall_lines, 2);
    box("Marks", &session.choice.marks, 0);
    box("Read", &session.choice.read, 1);
    ImGui::PopStyleVar();
}

}  // namespace brae::app
