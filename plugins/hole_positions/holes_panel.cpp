#include "plugins/hole_positions/holes_panel.h"

#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <imgui_stdlib.h>
#include <utility>

namespace brae::hole_positions {

namespace kit = plugin::kit;

float half_width() { return 0.5f * (ImGui::GetContentRegionAvail().x - ImGui::GetStyle().ItemSpacing.x); }

namespace {

void begin_field(const char* label) {
    constexpr float kLabel = 86.0f / 15.0f;   // of the text's height, so that it grows with the scale
    ImGui::PushID(label);
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("%s", label);
    ImGui::SameLine(kLabel * ImGui::GetFontSize());
    ImGui::SetNextItemWidth(-1);
}

}  // namespace

bool count_field(const char* label, int& count, int low, int high) {
    begin_field(label);
    const int before = count;
    ImGui::InputInt("##field", &count, 1, 7);
    ImGui::PopID();
    count = std::clamp(count, low, high);
    return count != before;
}

bool text_field(const char* label, std::string& text, const char* hint) {
    begin_field(label);
    const bool enter = ImGui::InputTextWithHint("##field", hint, &text, ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll);
    ImGui::PopID();
    return enter;
}

void draw_sentence(const std::string& sentence) {
    if (!sentence.empty()) kit::wrapped(kit::capital(sentence) + (sentence.back() == '.' ? "" : "."));
}

void draw_cautions() {
    kit::heading("Before a hole is cut");
    for (const char* text :
         {"Follow the committee's conditions and local rules; the greenkeeper decides. The survey does not see scars, wet patches or disease.",
          "Keep off frosted turf, and change no hole on frozen or waterlogged ground. Keep people off treated turf until the label's re-entry time.",
          "Lift with the legs, keep feet and fingers clear of the cutter. Play and machines stop for each other."})
        kit::remark(text);
}

void draw_holes_panel(Parts& parts) {
    if (!parts.holes.now().green) {
        kit::remark("Open a green to find hole positions on it.");
        return;
    }
    parts.holes.mark_front();
    constexpr std::pair<const char*, Part> kParts[] = {{"Today", Part::today}, {"Plan", Part::plan}, {"As cut", Part::cut}, {"Practice", Part::practice}};
    const float width = 0.25f * (ImGui::GetContentRegionAvail().x - 3 * ImGui::GetStyle().ItemSpacing.x);
    for (const auto& [name, part] : kParts) {
        if (part != Part::today) ImGui::SameLine();
        const bool on = parts.shown == part;
        if (on) ImGui::PushStyleColor(ImGuiCol_Button, ImGui::GetStyleColorVec4(ImGuiCol_Header));
        if (ImGui::Button(name, {width, 0})) parts.show(part);
        if (on) ImGui::PopStyleColor();
    }
    switch (parts.shown) {
        case Part::today: draw_today_part(parts); break;
        case Part::plan: draw_plan_part(parts); break;
        case Part::cut: draw_cut_part(parts); break;
        case Part::practice: draw_practice_part(parts); break;
    }
    draw_cautions();
}

}  // namespace brae::hole_positions
