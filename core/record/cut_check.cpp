#include "core/record/cut_check.h"

#include "core/base/calendar.h"
#include "core/record/green_queries.h"
#include "core/record/hole_history.h"
#include "core/record/hole_question.h"

#include <fmt/format.h>

namespace brae {

CutCheck check_cut(const Green& green, Vec2 p, const std::string& date, std::optional<double> told_ft, const HoleLimits& limits) {
    CutCheck out;
    const int day = *day_number(date);
    const CourseRules rules;
    for (const HoleUse& use : holes_of_week(green, day))
        if (const double away = distance(use.p, p); use.dated && (!use.by_plan || use.first_day <= *day_number(today())) && use.first_day < day && away < limits.apart_m && away >= rules.plug_m)
            out.remarks.push_back(fmt::format("{:.1f} m from the hole of {}; {:.1f} m from those of the last {} days are wanted", away, day_text(use.first_day), limits.apart_m, rules.apart_days));
    for (const StoredHole& h : planned_from(green, day + 1))
        if (const double away = distance(h.p, p); *day_number(h.date) - day <= rules.apart_days && away < limits.apart_m)
            out.remarks.push_back(fmt::format("{:.1f} m from the hole {} for {}; {:.1f} m are wanted within {} days: {}", away, h.by_plan ? "planned" : "set by hand", h.date, limits.apart_m,
                                          rules.apart_days, h.by_plan ? "plan those days anew" : "move one of the two"));
    // A day before today's hole is past asking for.
    if (const StoredHole* now = green.todays_hole(); now && day_number(now->date).value_or(day) > day) return out;
    const auto reading = reading_of_day(green, date);
    if (!told_ft && !reading) {
        out.remarks.push_back("not judged by the limits: the green holds no reading of its speed up to that day, and none is told");
        return out;
    }
    const double speed_ft = told_ft.value_or(reading ? reading->speed_ft : 0);
    out.judged = HoleJudge(*green.terrain, hole_question(green, date, 0).around, speed_ft, limits).judge(p);
    for (const Criterion& c : out.judged->criteria)
        if (!c.pass) out.remarks.push_back(fmt::format("fails on {}: {}", c.name, c.sentence));
    return out;
}

}  // namespace brae
