// Rolled balls against the survey: what was clicked, the speed that comes out, whether the two agree.
#include "core/base/interval.h"
#include "plugins/api/panel_kit.h"
#include "plugins/practice_stations/lesson_panel.h"

#include <cmath>
#include <fmt/format.h>

namespace brae::practice_stations {

namespace kit = plugin::kit;

namespace {

float half_width() { return 0.5f * (ImGui::GetContentRegionAvail().x - ImGui::GetStyle().ItemSpacing.x); }

void draw_answer(CheckModel& model, plugin::Units units) {
    const SpeedCalibration& c = *model.result();
    kit::heading("Speed of the day");
    if (c.told) {
        kit::row("Green speed", speed_with_error(c.speed_ft, c.scaled_sigma_ft, "\u00b1"));
        kit::row("Survey and balls", c.agrees ? "agree" : "do not agree");
    }
    sentence(c.sentence);
    for (std::size_t k = 0; k < c.rolls.size(); ++k) {
        const RollResidual& r = c.rolls[k];
        kit::row(fmt::format("Ball {}", k + 1).c_str(), fmt::format("{} {}, {} {}", kit::offset(std::abs(r.along_m), units), r.along_m >= 0 ? "long" : "short",
                                                                    kit::offset(std::abs(r.across_m), units), r.across_m >= 0 ? "right" : "left"));
    }
    ImGui::Spacing();
    const std::string why = model.why_not();
    ImGui::BeginDisabled(!why.empty());
    if (ImGui::Button(c.told ? fmt::format("Make {:.1f} ft the speed of the day###keep", c.speed_ft).c_str() : "Make it the speed of the day###keep", {-1, 0})) model.keep();
    ImGui::EndDisabled();
    if (!why.empty() && c.told) kit::remark(why);
}

}  // namespace

void draw_check_panel(Coach& coach) {
    CheckModel& model = coach.check;
    if (!coach.stations.now().green) {
        kit::remark("Open a green to check it with rolled balls.");
        return;
    }
    kit::heading("Roll some balls");
    kit::remark("From a ramp that lets each ball go alike, on three lines or more in different directions. Click the start, a mark on the line far ahead, then where each ball stopped.");
    constexpr std::pair<const char*, LetGo> kWays[] = {{"Green-speed ramp (6 ft/s)", LetGo::ramp}, {"Another ramp, always alike", LetGo::same_push}};
    for (const auto& [words, how] : kWays)
        if (ImGui::RadioButton(words, model.let_go() == how)) model.set_let_go(how);
    ImGui::Spacing();
    if (!model.in_hand()) {
        if (ImGui::Button(model.lines().empty() ? "Begin (Shift+C)" : "Go on (Shift+C)", {-1, 0})) model.take_in_hand();
    } else {
        kit::wrapped(model.asks() + ".");
        kit::remark(model.cross() ? "Arrows move the cross north, south, east and west by 10 cm, with Shift by 1 m, from the last place that was told; Enter takes the place, Backspace leaves it."
                                  : "Enter begins another line, Backspace takes the last click back, arrows bring a cross in place of the mouse, Esc ends.");
    }
    sentence(model.message());
    kit::row("Lines, balls", fmt::format("{}, {}", model.lines().size(), model.balls()));
    const float half = half_width();
    ImGui::BeginDisabled(model.lines().empty());
    if (ImGui::Button("Take back", {half, 0})) model.take_back();
    ImGui::SameLine();
    if (ImGui::Button("Begin again", {half, 0})) model.clear();
    ImGui::EndDisabled();
    if (model.working()) kit::remark("Working it out\u2026");
    if (model.result()) draw_answer(model, coach.stations.now().units);
    // What the stations make of it.
    if (coach.stations.following()) kit::remark("Stations are worked out at the new speed\u2026");
    if (!coach.stations.stations().empty() && !coach.stations.message().empty()) sentence(coach.stations.message());
}

}  // namespace brae::practice_stations
