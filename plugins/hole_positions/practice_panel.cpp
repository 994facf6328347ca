// Practice green: several holes at once, so far apart and clear of the coach's stations.
#include "plugins/hole_positions/holes_panel.h"

#include "core/base/constants.h"
#include "plugins/api/panel_kit.h"

#include <fmt/format.h>

namespace brae::hole_positions {

namespace {

namespace kit = plugin::kit;

bool length_input(const char* id, const char* words, double& metres, bool feet) {
    ImGui::TextUnformatted(words);
    ImGui::SetNextItemWidth(-1);
    const double unit = feet ? kFoot : 1;
    double value = metres / unit;
    if (!ImGui::InputDouble(id, &value, feet ? 1 : 0.5, 0, feet ? "%.1f ft" : "%.1f m")) return false;
    metres = value * unit;
    return true;
}

}  // namespace

void draw_practice_part(Parts& parts) {
    PracticeModel& practice = parts.practice;
    const bool feet = parts.holes.now().units == plugin::Units::feet;
    PracticeRules rules = practice.rules();
    bool changed = count_field("Holes", rules.count, 1, 18);
    changed = length_input("##apart", "One from another, at least", rules.apart_m, feet) || changed;
    changed = length_input("##clear", "From the ground of practice stations", rules.clear_m, feet) || changed;
    if (changed) practice.set_rules(rules);

    const std::size_t stations = practice.stations().size();
    kit::remark(stations == 0 ? std::string("No practice stations are kept with this green.")
                              : fmt::format("{} practice station{} of the coach {} kept with this green; their holes stay.", stations, stations == 1 ? "" : "s", stations == 1 ? "is" : "are"));
    if (const auto done = parts.holes.finding()) {
        if (kit::work_bar(*done, "judging")) parts.holes.cancel();
    } else if (!parts.holes.found() || parts.holes.stale()) {
        if (ImGui::Button("Find fair positions", {-1, 0})) parts.holes.find();
    } else if (ImGui::Button("Choose practice holes", {-1, 0})) {
        practice.choose();
    }
    draw_sentence(practice.message());
    if (!practice.chosen().holes.empty()) {
        kit::heading("Holes");
        if (practice.stale()) kit::remark("Chosen for another day, speed, limits or state of the green.");
        draw_sentence(practice.chosen().why_fewer);
        for (std::size_t k = 0; k < practice.chosen().holes.size(); ++k) {
            const PracticeHole& h = practice.chosen().holes[k];
            kit::wrapped(fmt::format("{}   {}", k + 1, parts.holes.where(h.p)));
            kit::remark(kit::capital(h.why));
        }
        if (practice.chosen().widest_m > 0) kit::row("All would fit up to", feet ? kit::number("%.0f", practice.chosen().widest_m / kFoot, "ft") : kit::number("%.1f", practice.chosen().widest_m, "m"));
        if (ImGui::Button("Today's holes\u2026", {-1, 0})) practice.accept();
    }

    // What is on the green now.
    if (const auto clashes = practice.clashes(); !clashes.empty()) {
        kit::heading("On the green now");
        for (const std::string& c : clashes) draw_sentence(c);
    }
}

}  // namespace brae::hole_positions
