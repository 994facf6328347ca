// The calendar of one green: the week before, the days ahead with lock and hand, and the plan as a whole.
#include "plugins/hole_positions/holes_panel.h"

#include "core/base/calendar.h"
#include "plugins/api/panel_kit.h"

#include <fmt/format.h>

namespace brae::hole_positions {

namespace {

namespace kit = plugin::kit;

// "2026-05-02" as a day of the list: month and day are enough.
std::string short_day(const std::string& date) { return date.size() == 10 ? date.substr(5) : date; }

void draw_history(Parts& parts) {
    kit::heading("The week before");
    const std::vector<HoleUse> uses = parts.plan.history();
    if (uses.empty()) kit::remark("No hole with a date is kept for it.");
    for (const HoleUse& use : uses) {
        std::string line = short_day(day_text(use.first_day));
        if (use.last_day > use.first_day) line += " to " + short_day(day_text(use.last_day));
        line += fmt::format("   {}, {}", parts.holes.where(use.p), use.as_cut ? "as cut" : "as planned");
        kit::remark(line);
        for (const SkippedDay& s : use.skipped) kit::remark(fmt::format("   stayed on {}: {}", short_day(s.date), s.reason));
    }
}

void draw_days(Parts& parts) {
    PlanModel& plan = parts.plan;
    if (plan.list().empty()) return;
    kit::heading("The days ahead");
    kit::remark(plan.in_hand() ? "Not kept with the green yet." : "As kept with the green.");
    if (plan.stale()) kit::remark("Planned for another first day, speed, limits or state of the green.");
    for (int k = 0; k < static_cast<int>(plan.list().size()); ++k) {
        const PlanDay& d = plan.list()[static_cast<std::size_t>(k)];
        ImGui::PushID(k);
        bool locked = d.locked;
        ImGui::BeginDisabled(!d.p || d.cut);
        if (ImGui::Checkbox("##locked", &locked)) plan.lock(k, locked);
        ImGui::EndDisabled();
        if (ImGui::IsItemHovered()) ImGui::SetTooltip("Keep this hole when the rest is planned anew");
        ImGui::SameLine();
        const std::string place = d.p ? parts.holes.where(*d.p) : d.skipped.empty() ? std::string(plan.in_hand() ? "no hole" : "not planned") : "skipped, " + d.skipped;
        const std::string near = too_near_words(*parts.holes.now().green, plan.list(), d, parts.holes.now().units == plugin::Units::feet);
        if (ImGui::Selectable(fmt::format("{}   {}{}{}{}", short_day(d.date), place, d.cut ? ", cut" : "", d.fair || !d.p ? "" : ", not fair", near.empty() ? "" : ", too near").c_str(), k == plan.selected()))
            plan.select(k);
        ImGui::PopID();
        if (k != plan.selected()) continue;
        if (!d.skipped.empty() && !d.cut) kit::remark("No hole is cut on this day; the one before stays.");
        else kit::remark(d.why.empty() ? "Balls are rolled\u2026" : kit::capital(d.why));
        if (!near.empty()) kit::remark("Too near: " + near + ".");
    }
    kit::remark("A tick keeps a day's hole when the rest is planned anew.");
    for (const std::string& r : plan.remarks()) kit::remark(kit::capital(r) + ".");
    const float half = half_width();
    const PlanDay* day = plan.selected() < 0 ? nullptr : &plan.list()[static_cast<std::size_t>(plan.selected())];
    ImGui::BeginDisabled(!day || !day->p || day->cut);
    if (ImGui::Button("Move it", {half, 0})) plan.move_selected();
    ImGui::EndDisabled();
    ImGui::SameLine();
    ImGui::BeginDisabled(!plan.can_undo());
    if (ImGui::Button("Step back", {half, 0})) plan.undo();
    ImGui::EndDisabled();
    ImGui::BeginDisabled(!plan.in_hand());
    if (ImGui::Button("Keep the plan\u2026", {-1, 0})) plan.accept();
    ImGui::EndDisabled();
}

}  // namespace

void draw_plan_part(Parts& parts) {
    PlanModel& plan = parts.plan;
    plan.follow_green();
    text_field("First day", parts.holes.date, "2026-05-02");
    if (!parts.holes.date_good()) kit::remark("A day such as 2026-05-02 is wanted.");
    int days = plan.days(), recovery = plan.recovery_days();
    if (count_field("Days ahead", days, 1, 14)) plan.set_days(days);
    if (count_field("Heals in, days", recovery, 1, 60)) plan.set_recovery_days(recovery);
    if (const auto done = plan.planning()) {
        if (kit::work_bar(*done, "planning")) parts.holes.services().jobs.cancel("plan");
    } else if (ImGui::Button(plan.list().empty() ? "Plan the days" : "Plan the rest anew", {-1, 0})) {
        plan.plan();
    }
    draw_sentence(plan.message());
    draw_days(parts);
    draw_history(parts);
    kit::remark("This green alone; a whole course is balanced by brae holes with a folder of greens.");
}

}  // namespace brae::hole_positions
