#include "core/record/kept_plan.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace brae {

bool too_near(const StoredHole& hole, const std::vector<PlannedHole>& plan) {
    const CourseRules rules;
    return std::any_of(plan.begin(), plan.end(), [&](const PlannedHole& p) {
        const auto days = days_between(p.date, hole.date);
        return days && *days <= rules.apart_days && distance(p.p, hole.p) < rules.apart_m;
    });
}

HistoryEntry with_plan(const Green& green, const std::string& first_day, int days, const std::vector<PlannedHole>& plan, const std::string& by) {
    const int first = checked_hole_day(first_day);
    std::set<int> seen;
    for (const PlannedHole& h : plan) {
        const int day = checked_hole_day(h.date);
        if (day < first || day >= first + days)
            throw Error(fmt::format("the hole planned for {} lies outside the plan of {} to {}", h.date, first_day, date_after(first_day, days - 1)));
        if (!seen.insert(day).second) throw Error(fmt::format("two holes are planned for {}, one is wanted", h.date));
        check_hole_place(green, h.p);
    }

    // What a plan chose before gives way.
    HistoryEntry out{green, {}};
    std::string todays;
    int gone = 0, later = 0;
    std::erase_if(out.green.holes, [&](const StoredHole& h) {
        const auto day = day_number(h.date);
        const bool after = day && *day >= first + days;
        const bool goes = h.by_plan && !h.as_cut && day && *day >= first && (!after || too_near(h, plan));
        later += goes && after;
        if (goes && h.today) todays = h.date;
        gone += goes;
        return goes;
    });
    if (gone > 0)
        out.remarks.push_back(fmt::format("takes the place of {} hole{} that {} planned before{}", gone, gone == 1 ? "" : "s", gone == 1 ? "was" : "were",
                                          later > 0 ? fmt::format(", {} of them for days after these, too near to the new ones", later) : ""));

    for (const PlannedHole& h : plan) {
        if (const SkippedDay* skip = skipped_day(out.green, h.date)) {
            out.remarks.push_back(fmt::format("{} is skipped ({}) and gets no hole", h.date, skip->reason));
            continue;
        }
        // What people set or cut for that day stands.
        if (std::any_of(out.green.holes.begin(), out.green.holes.end(), [&](const StoredHole& s) { return s.date == h.date; })) continue;
        StoredHole hole{"plan " + h.date, h.p, h.date, by, h.date == todays, false, h.speed_ft, ""};
        hole.by_plan = true;
        out.green.holes.push_back(std::move(hole));
    }
    sort_by_date(out.green.holes);
    return out;
}

HistoryEntry with_hole_set(const Green& green, const CutHole& hole) {
    checked_hole_day(hole.date);
    check_hole_place(green, hole.p);
    if (const SkippedDay* skip = skipped_day(green, hole.date))
        throw Error(fmt::format("{} is told as skipped ({}), so no hole can be set for it", hole.date, skip->reason));
    if (std::any_of(green.holes.begin(), green.holes.end(), [&](const StoredHole& h) { return h.as_cut && h.date == hole.date; }))
        throw Error(fmt::format("the hole of {} is told as cut, so none can be set for it", hole.date));
    HistoryEntry out{green, {}};
    bool today = false;
    std::erase_if(out.green.holes, [&](const StoredHole& h) {
        if (h.date != hole.date || (hole.beside && !h.by_plan)) return false;
        out.remarks.push_back(fmt::format("takes the place of the hole {} for {} at {:.2f}, {:.2f}", h.by_plan ? "planned" : "set", h.date, h.p.x, h.p.y));
        today = today || h.today;
        return true;
    });
    out.green.holes.push_back({"set " + hole.date, hole.p, hole.date, hole.set_by, today, false, hole.speed_ft, hole.remark});
    sort_by_date(out.green.holes);
    return out;
}

}  // namespace brae
