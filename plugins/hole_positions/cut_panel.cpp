// As cut: one typed line, what it means, and the line of play that its paces are counted along.
#include "plugins/hole_positions/holes_panel.h"

#include "plugins/api/panel_kit.h"

#include <fmt/format.h>

namespace brae::hole_positions {

namespace {

namespace kit = plugin::kit;

void draw_entry(CutModel& cut) {
    kit::remark("12 on, 4 left (paces); S1=6.42, S2=8.13, left (tapes); X,Y; or skipped frost. Behind a semicolon: speed 9.8, or a remark.");
    if (cut.want_keyboard) ImGui::SetKeyboardFocusHere();
    cut.want_keyboard = false;
    ImGui::SetNextItemWidth(-1);
    const bool enter = text_field("Hole", cut.line, "12 on, 4 left");
    text_field("Day", cut.date, "2026-05-02");
    text_field("Set by", cut.by, "initials");
    const CutModel::Preview seen = cut.preview();
    for (const std::string& words : seen.words) kit::wrapped(kit::capital(words) + ".");
    for (const std::string& r : seen.remarks) kit::remark(kit::capital(r) + ".");
    draw_sentence(seen.sentence);
    if (seen.backwards) {
        if (ImGui::Button("Keep it as told late", {-1, 0})) cut.keep(true);
    } else {
        ImGui::BeginDisabled(!seen.ready);
        if (ImGui::Button("Keep the hole as cut", {-1, 0}) || (enter && seen.ready)) cut.keep();
        ImGui::EndDisabled();
    }
    draw_sentence(cut.message());
}

void draw_line(Parts& parts) {
    LineModel& line = parts.line;
    kit::heading("Line of play");
    if (const auto shown = line.line()) {
        float bearing = static_cast<float>(line.bearing_deg());
        ImGui::SetNextItemWidth(-1);
        if (ImGui::SliderFloat("##bearing", &bearing, 0, 360, "towards %.0f degrees", ImGuiSliderFlags_AlwaysClamp)) line.set_bearing(static_cast<double>(bearing));
    } else {
        kit::remark("None is set: paces on and from the side cannot be told without one.");
    }
    const float half = half_width();
    if (ImGui::Button("Turn it", {half, 0})) line.turn();
    ImGui::SameLine();
    if (ImGui::Button("Draw the approach", {half, 0})) line.draw();
    if (line.in_hand() || !line.points().empty()) {
        ImGui::BeginDisabled(!line.in_hand());
        if (ImGui::Button("Keep the line", {half, 0})) line.keep();
        ImGui::EndDisabled();
        ImGui::SameLine();
        if (ImGui::Button("Drop it", {half, 0})) line.drop();
    }
    draw_sentence(line.message());
    kit::remark("Paces on are counted along it through the hole, from where it crosses the front edge; from the side, square to it, to the nearer side.");

    // Where people walk, for the wear.
    const auto& gates = parts.holes.now().green->gates;
    if (ImGui::Button("Add a way on or off", {half, 0})) line.add_gate();
    ImGui::SameLine();
    ImGui::BeginDisabled(gates.empty());
    if (ImGui::Button((gates.size() > 1 ? fmt::format("Remove all {}###gates", gates.size()) : std::string("Remove it###gates")).c_str(), {half, 0})) line.remove_gates();
    ImGui::EndDisabled();
}

}  // namespace

void draw_cut_part(Parts& parts) {
    parts.cut.limits = parts.holes.limits();
    draw_entry(parts.cut);
    draw_line(parts);
}

}  // namespace brae::hole_positions
