#include "plugins/green_setup/setup_panel.h"

#include "plugins/api/panel_kit.h"
#include "plugins/green_setup/typed.h"

#include <fmt/format.h>
#include <imgui_stdlib.h>

namespace brae::green_setup {

namespace kit = plugin::kit;

float half_width() { return 0.5f * (ImGui::GetContentRegionAvail().x - ImGui::GetStyle().ItemSpacing.x); }

bool field(const char* label, std::string& text, const char* hint) {
    constexpr float kLabel = 86.0f / 15.0f;  // of the text's height, so that it grows with the scale
    ImGui::PushID(label);
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("%s", label);
    ImGui::SameLine(kLabel * ImGui::GetFontSize());
    ImGui::SetNextItemWidth(-1);
    const bool enter = ImGui::InputTextWithHint("##field", hint, &text, ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll);
    ImGui::PopID();
    return enter;
}

void refusal(const std::string& sentence) {
    if (!sentence.empty()) kit::wrapped(kit::capital(sentence) + (sentence.back() == '.' ? "" : "."));
}

void draw_ring_rows(SetupModel& model, RingEditor& editor, const char* keep_words, const std::function<void()>& take_tool,
                    const std::function<void(const std::string&)>& use_typed, const std::function<void()>& keep, const std::function<void()>& leave) {
    const bool drawing = editor.mode() == RingEditor::Mode::drawing;
    const std::size_t corners = editor.ring().size();
    if (!model.services().tools.in_hand()) {
        if (ImGui::Button(drawing ? "Go on drawing" : "Go on with the corners", {-1, 0})) take_tool();
    } else {
        kit::remark(drawing ? "Click round it on the ground. Enter, a double click or a click on the first corner closes it; Backspace takes the last corner away."
                            : "Drag a corner; drag a side for a new corner. Tab goes from corner to corner, arrows move it by 10 cm (with Shift 1 cm), Insert and Delete add and take one.");
    }

    // A corner by its figures: the next one, or the one that is selected.
    CornerField& corner = model.corner;
    const bool same = corner.ring == &editor && corner.version == editor.version() && corner.selected == editor.selected();
    if (!same && !corner.active) {
        corner = {editor.selected() ? text_of(editor.ring()[*editor.selected()]) : "", &editor, editor.version(), editor.selected(), false};
    }
    if (drawing || editor.selected()) {
        const std::string label = drawing ? fmt::format("Corner {}", corners + 1) : fmt::format("Corner {}", *editor.selected() + 1);
        const bool enter = field(label.c_str(), corner.text, "X, Y  or  map:X,Y");
        corner.active = ImGui::IsItemActive();
        if (enter) {
            // Ready for the next one where it was taken.
            const auto before = editor.version();
            use_typed(corner.text);
            if (drawing && editor.version() != before) corner.text.clear();
            ImGui::SetKeyboardFocusHere(-1);
        }
    } else {
        corner.active = false;
    }
    const float half = half_width();
    if (!drawing) {
        bool whole = editor.whole();
        if (ImGui::Checkbox("Move the whole of it", &whole)) editor.set_whole(whole);
        ImGui::BeginDisabled(!editor.selected());
        if (ImGui::Button("Add a corner", {half, 0})) editor.insert_after_selected();
        ImGui::SameLine();
        ImGui::BeginDisabled(corners <= 3);
        if (ImGui::Button("Take it away", {half, 0})) editor.remove_selected();
        ImGui::EndDisabled();
        ImGui::EndDisabled();
    } else {
        ImGui::BeginDisabled(corners < 3);
        if (ImGui::Button("Close it", {-1, 0})) editor.close();
        ImGui::EndDisabled();
    }
    ImGui::BeginDisabled(!editor.changed());
    if (ImGui::Button("Step back", {half, 0})) editor.undo();
    ImGui::EndDisabled();
    ImGui::SameLine();
    if (ImGui::Button("Leave it", {half, 0})) return leave();
    ImGui::BeginDisabled(corners < 3);
    if (ImGui::Button(keep_words, {-1, 0})) keep();
    ImGui::EndDisabled();
}

void draw_setup_panel(SetupModel& model) {
    if (!model.now().green) {
        kit::remark("Open a green to draw its edge, its reference marks and its zones, and to tape a hole or ball.");
        return;
    }
    // The four parts, in one row.
    constexpr std::pair<const char*, Part> kParts[] = {{"Edge", Part::outline}, {"Marks", Part::marks}, {"Tape", Part::locate}, {"Zones", Part::zones}};
    const float width = 0.25f * (ImGui::GetContentRegionAvail().x - 3 * ImGui::GetStyle().ItemSpacing.x);
    for (const auto& [name, part] : kParts) {
        if (part != Part::outline) ImGui::SameLine();
        const bool on = model.part() == part;
        if (on) ImGui::PushStyleColor(ImGuiCol_Button, ImGui::GetStyleColorVec4(ImGuiCol_Header));
        if (ImGui::Button(name, {width, 0})) model.show(part);
        if (on) ImGui::PopStyleColor();
    }
    ImGui::PushID(static_cast<int>(model.part()));
    switch (model.part()) {
        case Part::outline: draw_outline_part(model); break;
        case Part::marks: draw_marks_part(model); break;
        case Part::locate: draw_locate_part(model); break;
        case Part::zones: draw_zones_part(model); break;
    }
    ImGui::PopID();
}

}  // namespace brae::green_setup
