#include "app/panels/panels.h"

#include "plugins/api/panel_kit.h"

namespace brae::app {

namespace kit = plugin::kit;

void draw_view_panel(Session& session, float scale) {
    kit::heading("View");
    const float label = 92 * scale;

    // Height factor; behind the ball the ground has its true height.
    float factor = static_cast<float>(session.camera.exaggeration());
    const bool behind = session.camera.kind() == ViewKind::behind_ball;
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Height");
    ImGui::SameLine(label);
    ImGui::SetNextItemWidth(-1);
    ImGui::BeginDisabled(behind);
    ImGui::PushFont(kit::number_font());
    if (ImGui::SliderFloat("##height", &factor, 1, 20, behind ? "true" : "%.1f x", ImGuiSliderFlags_AlwaysClamp | ImGuiSliderFlags_Logarithmic))
        session.camera.set_exaggeration(static_cast<double>(factor));
    ImGui::PopFont();
    ImGui::EndDisabled();

    // Colours of the slope, named as published.
    static const char* names[] = {"cividis", "viridis", "davos", "lapaz"};
    int scale_index = static_cast<int>(session.choice.scale);
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Colours");
    ImGui::SameLine(label);
    ImGui::SetNextItemWidth(-1);
    if (ImGui::Combo("##scale", &scale_index, names, 4)) session.choice.scale = static_cast<plugin::ScaleName>(scale_index);

    // What is drawn, in two columns.
    const float half = ImGui::GetContentRegionMax().x / 2 + 4 * scale;
    ImGui::Checkbox("Slope", &session.choice.slope);
    ImGui::SameLine(half);
    ImGui::Checkbox("Contours", &session.choice.contours);
    ImGui::Checkbox("Fall lines", &session.choice.fall_lines);
    ImGui::SameLine(half);
    ImGui::Checkbox("Marks", &session.choice.marks);
    ImGui::Checkbox("Read", &session.choice.read);

    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Units");
    ImGui::SameLine(label);
    if (ImGui::RadioButton("metric", session.units == plugin::Units::metric)) session.units = plugin::Units::metric;
    ImGui::SameLine();
    if (ImGui::RadioButton("feet, inches", session.units == plugin::Units::feet)) session.units = plugin::Units::feet;
}

}  // namespace brae::app
