// The plan of days as it is kept in a green: what people set or a plan chose for each day, and the days without a hole.
#pragma once

#include "core/record/green.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::hole_positions {

struct PlanDay {
    std::string date;
    std::optional<Vec2> p;              // empty where no place keeps the rules, or none is kept
    bool locked = false;                // stays when the rest is planned anew; kept with the green as set by people
    bool cut = false;                   // told as it was cut: past planning
    std::string skipped;                // why no hole is cut on this day; empty where one is
    std::string why;
    bool fair = true;
    bool operator==(const PlanDay&) const = default;
};

// A plan's own choice, which the next plan may replace; people set all others.
bool chosen_by_plan(const StoredHole& hole);
// Why no hole is cut on a day; empty where nothing says so.
std::string skipped_on(const Green& green, const std::string& date);

// That the hole of a day is told as cut, so that none can be set for it here; empty where it is not.
std::string told_as_cut(const Green& green, const std::string& date);

// Each of the days from `first` on: as cut, else the last one written down. Nothing where nothing is kept for any of them.
std::vector<PlanDay> kept_days(const Green& green, const std::string& first, int days);
// The hole of another day, planned here or kept in the green, that a day's place is too near to (CourseRules); empty where it keeps
// clear of all: "2.1 m from the hole cut for 2026-05-02; 3 m for 7 days are wanted".
std::string too_near_words(const Green& green, const std::vector<PlanDay>& plan, const PlanDay& day, bool feet = false);
// The holes of a green with a plan in place of what was planned for its days; what was cut stays, and what people set where it
// is in the plan as it was, with who and why.
std::vector<StoredHole> holes_with_plan(const Green& green, const std::vector<PlanDay>& plan);

}  // namespace brae::hole_positions
