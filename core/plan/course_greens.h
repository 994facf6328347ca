// From judged greens to the plan over days: candidates with thirds, difficulty and wear, history by date, zones until a date.
#pragma once

#include "core/base/calendar.h"
#include "core/plan/course_plan.h"
#include "core/plan/green_thirds.h"
#include "core/plan/hole_judge.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// What a green brings to a plan; days are counted from its first day (negative: before).
struct DatedHole { Vec2 p; int day = 0; };
struct DatedZone { std::vector<Vec2> ring; std::optional<int> open_from; };   // empty: closed for the whole plan
struct GreenOverDays {
    std::string name;
    std::vector<DatedHole> past;             // one for each day in use: day < 0, or a skipped day for which it stays
    std::vector<DatedHole> by_hand;          // 0 <= day: kept as they are
    std::vector<int> skipped;                // days of the plan on which no hole is cut; the one before stays
    std::vector<DatedZone> zones;
    std::vector<Vec2> gates;                 // where players walk on and off; none: the edge nearest to each hole
    bool counts = true;                      // a practice green does not count in the balance
};

// Turf that is worn by play round past holes and on the ways to them, 0 fresh to 1: by a bell of 1.2 m round each hole and
// half as much along its way of 0.6 m, halved every `recovery_days`. Own model, no published figures.
double wear_at(Vec2 p, const std::vector<DatedHole>& past, const std::vector<Vec2>& gates, const Outline& outline, int day, double recovery_days);

// Front, middle and back along the way of play (the green's long axis where it is not known).
GreenThirds thirds_of(const Outline& outline, std::optional<Vec2> play);

// The fair places as candidates, pruned to `most` diverse ones; holes by hand are appended where they stand.
CourseGreen course_green(const GreenJudgement& judged, const TerrainModel& terrain, std::optional<Vec2> play, const GreenOverDays& over,
                         double recovery_days, int most = 40);

}  // namespace brae
