#include "plugins/hole_positions/plan_days.h"

#include "core/base/calendar.h"
#include "core/base/units.h"
#include "core/record/kept_plan.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae::hole_positions {

bool chosen_by_plan(const StoredHole& h) { return !h.as_cut && h.by_plan; }

std::string skipped_on(const Green& green, const std::string& date) {
    const SkippedDay* s = skipped_day(green, date);
    return !s ? "" : s->reason.empty() ? "skipped" : s->reason;
}

std::string told_as_cut(const Green& green, const std::string& date) {
    for (const StoredHole& h : green.holes)
        if (h.as_cut && h.date == date)
            return fmt::format("the hole of {} is told as cut, at {:.2f}, {:.2f} m; what was really cut is put right under As cut", date, h.p.x, h.p.y);
    return {};
}

std::vector<PlanDay> kept_days(const Green& green, const std::string& first, int days) {
    std::vector<PlanDay> out;
    bool any = false;
    for (int k = 0; k < days; ++k) {
        PlanDay day;
        day.date = date_after(first, k);
        day.skipped = skipped_on(green, day.date);
        const StoredHole* there = nullptr;
        for (const StoredHole& h : green.holes)
            if (h.date == day.date && (h.as_cut || (day.skipped.empty() && !(there && there->as_cut)))) there = &h;
        if (there) {
            day.p = there->p;
            day.cut = there->as_cut;
            day.locked = !chosen_by_plan(*there);
            any = true;
        } else if (day.skipped.empty()) {
            day.why = "no hole is kept for this day";
        }
        out.push_back(std::move(day));
    }
    if (!any) out.clear();
    return out;
}

std::string too_near_words(const Green& green, const std::vector<PlanDay>& plan, const PlanDay& day, bool feet) {
    if (!day.p) return {};
    const CourseRules rules;
    std::string words;
    double least = rules.apart_m;
    const auto consider = [&](const std::string& date, Vec2 p, const char* what) {
        const auto apart = days_between(date, day.date);
        const double away = distance(p, *day.p);
        if (!apart || *apart == 0 || std::abs(*apart) > rules.apart_days || away >= least - 1e-9) return;
        least = away;
        const double unit = feet ? kFoot : 1;
        const char* name = feet ? "ft" : "m";
        words = fmt::format("{:.1f} {} from the hole {} for {}; {:.{}f} {} for {} days are wanted", away / unit, name, what, date, rules.apart_m / unit, feet ? 1 : 0, name, rules.apart_days);
    };
    const auto planned_here = [&](const std::string& date) { return std::any_of(plan.begin(), plan.end(), [&](const PlanDay& d) { return d.date == date; }); };
    for (const StoredHole& h : green.holes)
        if (!planned_here(h.date)) consider(h.date, h.p, h.as_cut ? "cut" : h.by_plan ? "planned" : "set");
    for (const PlanDay& d : plan)
        if (d.p && d.date != day.date) consider(d.date, *d.p, d.cut ? "cut" : d.locked ? "set" : "planned");
    return words;
}

std::vector<StoredHole> holes_with_plan(const Green& green, const std::vector<PlanDay>& plan) {
    if (plan.empty()) return green.holes;
    // What an earlier plan chose for days after these knew nothing of this one: it goes where it is too near.
    std::vector<PlannedHole> chosen;
    for (const PlanDay& d : plan)
        if (d.p) chosen.push_back({d.date, *d.p});
    const auto goes = [&](const StoredHole& h) { return !h.as_cut && h.date >= plan.front().date && (h.date <= plan.back().date || (h.by_plan && too_near(h, chosen))); };
    std::vector<StoredHole> out;
    bool today = false;
    for (const StoredHole& h : green.holes) {
        if (!goes(h)) out.push_back(h);
        else today = today || h.today;
    }
    for (const PlanDay& d : plan) {
        if (!d.p || d.cut || !d.skipped.empty()) continue;
        StoredHole hole{(d.locked ? "set " : "plan ") + d.date, *d.p, d.date, ""};
        hole.by_plan = !d.locked;
        const auto same = std::find_if(green.holes.begin(), green.holes.end(), [&](const StoredHole& h) { return goes(h) && h.date == d.date && h.p == *d.p && chosen_by_plan(h) != d.locked; });
        if (same != green.holes.end()) hole = *same;
        // Today's hole stays today's where it was planned for the first day.
        hole.today = today && &d == &plan.front();
        out.push_back(std::move(hole));
    }
    return out;
}

}  // namespace brae::hole_positions
