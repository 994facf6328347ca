#include "app/panels/panels.h"

#include "app/panels/rows.h"
#include "app/panels/view_removed.h"
#include "plugins/api/panel_kit.h"

namespace brae::app {

namespace kit = plugin::kit;

namespace {

// Why points were removed: each reason with its sign, its count, whether it is drawn, and the way to put them back.
void removed_rows(Session& session, float scale) {
    const Green& green = *session.document.now().green;
    if (!green.removed) return kit::remark("This green file is older than the layer of removed points; import its survey once more.");
    const PutBack& now = green.record.put_back;
    std::optional<PutBack> wanted;
    const bool can = green.record.known() && session.document.read_only().empty() && !session.background.progress("survey");
    const float button = 70 * scale;
    const auto at_right = [&](const char* words) {
        // Beside the words where there is room, else on a line of its own.
        const float at = ImGui::GetContentRegionMax().x - button;
        if (ImGui::GetItemRectMax().x - ImGui::GetWindowPos().x + ImGui::GetScrollX() + 6 * scale < at) ImGui::SameLine(at);
        else ImGui::SetCursorPosX(at);
        ImGui::BeginDisabled(!can);
        const bool pressed = ImGui::Button(words, {button, 0});
        ImGui::EndDisabled();
        return pressed;
    };
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, {4 * scale, 2 * scale});
    for (std::size_t k = 1; k < kRemovalReasons; ++k) {
        const auto reason = static_cast<RemovalReason>(k);
        if (green.removed->counts[k] == 0 && !now.reasons[k]) continue;
        ImGui::PushID(static_cast<int>(k));
        if (now.reasons[k]) {
            ImGui::AlignTextToFramePadding();
            ImGui::TextDisabled("put back: %s", to_text(reason));
            if (at_right("Take out")) {
                wanted = now;
                wanted->reasons[k] = false;
            }
        } else {
            const ImVec2 at = ImGui::GetCursorScreenPos();
            const float h = ImGui::GetFrameHeight();
            draw_removed_sign(*ImGui::GetWindowDrawList(), {at.x + 8 * scale, at.y + h / 2}, reason, 5 * scale);
            ImGui::SetCursorPosX(ImGui::GetCursorPosX() + 20 * scale);
            ReasonCounts one{};
            one[k] = green.removed->counts[k];
            ImGui::Checkbox(words_on_counts(one).c_str(), &session.choice.removed_reasons[k]);
            // The edge decides what lies outside it.
            if (reason != outside_clip && at_right("Put back")) {
                wanted = now;
                wanted->reasons[k] = true;
            }
        }
        ImGui::PopID();
    }
    if (!now.boxes.empty()) {
        ImGui::AlignTextToFramePadding();
        ImGui::TextDisabled("put back: all in %zu box%s", now.boxes.size(), now.boxes.size() == 1 ? "" : "es");
        if (at_right("Take out")) {
            wanted = now;
            wanted->boxes.clear();
        }
    }
    ImGui::BeginDisabled(!can);
    const bool drawing = session.tool == Tool::put_back;
    if (drawing) ImGui::PushStyleColor(ImGuiCol_Button, ImGui::GetStyleColorVec4(ImGuiCol_Header));
    if (ImGui::Button("Put back in a box\u2026", {-1, 0})) session.tool = drawing ? Tool::look : Tool::put_back;
    if (drawing) ImGui::PopStyleColor();
    ImGui::EndDisabled();
    ImGui::PopStyleVar();
    if (!green.record.known()) kit::remark("The green does not say which survey it came from; import the survey once more, then points can be put back.");
    if (wanted) session.put_back(*wanted);
}

}  // namespace

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
    if (is_read_map(session.choice.ground) && !session.read_hidden().empty()) kit::remark("This map waits as long as the read is hidden; the slope is shown.");
    else if (is_read_map(session.choice.ground) && !session.map.refusal().empty()) kit::remark(kit::capital(session.map.refusal()));

    // What is drawn, in three columns.
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, {3 * scale, 3 * scale});
    const float start = ImGui::GetCursorPosX(), step = 0.37f * ImGui::GetContentRegionAvail().x;
    const auto box = [&](const char* name, bool* on, int column) {
        if (column > 0) ImGui::SameLine(start + static_cast<float>(column) * step);
        ImGui::Checkbox(name, on);
    };
    box("Contours", &session.choice.contours, 0);
    box("Fall lines", &session.choice.fall_lines, 1);
    box("Marks", &session.choice.marks, 2);
    box("Read", &session.choice.read, 0);
    box("Removed points", &session.choice.removed, 1);
    ImGui::PopStyleVar();
    if (session.choice.removed && session.has_green()) removed_rows(session, scale);
}

}  // namespace brae::app
