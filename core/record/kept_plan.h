// A plan of days put down in the green file, so that it can be printed, followed and planned anew.
#pragma once

#include "core/record/hole_history.h"

#include <string>
#include <vector>

namespace brae {

struct PlannedHole { std::string date; Vec2 p; std::optional<double> speed_ft = {}; };

// Whether a hole of a later day keeps too near to one of a plan (CourseRules: apart_m within apart_days).
bool too_near(const StoredHole& hole, const std::vector<PlannedHole>& plan);

// The holes of a plan from `first_day` on, for `days` days. What an earlier plan chose for these days gives
// way, and for later days where it keeps too near to this one (CourseRules), of which it knew nothing; a hole that people set
// stays, and so does what was cut, and a skipped day gets none: what is planned for such a day is left out with a remark. Where
// today's hole was one that gives way, the one of the same day is today's.
// Throws Error for a day that is none or lies outside the plan, two holes for one day, and a place off the green.
HistoryEntry with_plan(const Green& green, const std::string& first_day, int days, const std::vector<PlannedHole>& plan, const std::string& by = "");

// A hole that people set for a day ahead; a plan keeps it. What was planned or set for that day before gives way, with a remark.
// Throws Error for a day that is none, one that is told as cut or skipped, and for a place off the green.
HistoryEntry with_hole_set(const Green& green, const CutHole& hole);

}  // namespace brae
