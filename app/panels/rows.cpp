#include "app/panels/rows.h"

#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <imgui.h>

namespace brae::app {

namespace kit = plugin::kit;

SliderUse slider_row(const char* label, float* value, float low, float high, const char* format, float scale, bool logarithmic) {
    SliderUse use;
    ImGui::PushID(label);
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("%s", label);
    ImGui::SameLine(kLabelWidth * scale);

    // The track: slimmer than a text field, in the middle of the row.
    const float box = 66 * scale, y = ImGui::GetCursorPosY();
    const float slim = 2.5f * scale, tall = ImGui::GetStyle().FramePadding.y;
    ImGui::SetNextItemWidth(ImGui::GetContentRegionAvail().x - box - ImGui::GetStyle().ItemSpacing.x);
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, {4 * scale, slim});
    ImGui::PushStyleVar(ImGuiStyleVar_GrabMinSize, 12 * scale);
    ImGui::SetCursorPosY(y + tall - slim);
    use.moved = ImGui::SliderFloat("##slider", value, low, high, "", ImGuiSliderFlags_AlwaysClamp | ImGuiSliderFlags_NoInput | (logarithmic ? ImGuiSliderFlags_Logarithmic : 0));
    use.began = ImGui::IsItemActivated();
    use.ended = ImGui::IsItemDeactivated();
    ImGui::PopStyleVar(2);

    // The value, to read or to type.
    ImGui::SameLine();
    ImGui::SetCursorPosY(y);
    ImGui::SetNextItemWidth(box);
    ImGui::PushFont(kit::number_font());
    float typed = *value;
    if (ImGui::InputFloat("##value", &typed, 0, 0, format, ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll)) {
        *value = std::clamp(typed, low, high);
        use.moved = use.typed = true;
    }
    ImGui::PopFont();
    ImGui::PopID();
    return use;
}

}  // namespace brae::app
