// What brae holes asks of a stored green: limits from profile and club file, zones and history by date.
#pragma once

#include "app/commands/arguments.h"
#include "core/plan/course_greens.h"
#include "core/plan/hole_judge.h"
#include "core/plan/hole_today.h"
#include "core/record/hole_question.h"

#include <string>
#include <vector>

namespace brae::app {

// Of --profile, --limits and the other options. Throws Error(usage), naming the option or the file and its line of what is wrong.
HoleLimits hole_limits_of(const HolesArguments& a);

// The first day: --from, else the day of this machine. Throws Error(usage) where it is no date.
std::string first_day_of(const HolesArguments& a);

// A green's zones and history as a planner sees them from its first day.
using HoleRequest = HoleQuestion;
// days 0: today only, so that no hole counts as set by hand. Throws Error(usage) where the first day lies before today's hole.
HoleRequest hole_request_of(const Green& green, const std::string& first_day, int days, std::optional<double> play_bearing_deg);

// Everything of one green: judged once, chosen for today or day by day.
struct HolesOfGreen {
    GreenJudgement judged;
    std::vector<HolePosition> positions;          // ranked, or one a day, `day` filled
    std::vector<char> by_hand;                    // of the ones of days: set or cut by people, not planned
    std::vector<SkippedDay> skipped;              // days of the plan on which none is cut
    std::vector<FairUntil> until;                 // of the ranked ones
    std::optional<RampSite> ramp;
    std::string why_none;
    std::vector<std::string> warnings, remarks;
    double gap = 0;                               // of a plan over days
};
// Why a green has no place, with the zones that are closed.
std::string with_closed_zones(std::string why_none, const Green& green, const std::string& first_day, int days);
// That a green has no outline of its own, so that distances count from the boundary of its data; empty where it has one.
std::string edge_warning(const Green& green);
// "fair up to 11.3 ft", or "at least to 16 ft", where the search ends.
std::string fair_to_text(const FairUntil& until);

HolesOfGreen holes_of_green(const Green& green, const HolesArguments& a, const HoleLimits& limits, double speed_ft, HoleScope scope, Progress& progress);

}  // namespace brae::app
