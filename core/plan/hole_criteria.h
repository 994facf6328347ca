// The four criteria of a hole position, one at a time, so that a planner can stop at the first that fails.
#pragma once

#include "core/plan/hole_positions.h"

namespace brae {

// The ground within a radius of a place, from points of the outline's inside.
struct GroundRound {
    double slope = 0;            // mean size of the gradient, ratio
    double change = 0;           // largest departure of the gradient, as a vector, from its mean, ratio
    double steepest = 0;         // largest size of the gradient, ratio
    Vec2 downhill;               // unit, of the mean gradient; (0, -1) on level ground
};
GroundRound ground_round(const TerrainModel& terrain, Vec2 p, double radius_m);

// Where a putt at dead weight ends that runs over the covered hole: the farthest stop from the hole's centre over
// twelve directions, straight down the fall line first. Infinite where the ball does not stop on the green.
double farthest_run_past(const TerrainModel& terrain, Vec2 p, Vec2 downhill, double green_speed_ft);

Criterion edge_criterion(double edge_m, const HoleLimits& limits);
Criterion slope_criterion(double slope, double green_speed_ft, const HoleLimits& limits);
Criterion change_criterion(double change, double slope_se, const HoleLimits& limits);
Criterion stopping_criterion(double run_past_m, double steepest, double green_speed_ft, const HoleLimits& limits);

// Slope that the limits allow at a green speed, ratio.
double allowed_slope(double green_speed_ft, const HoleLimits& limits);
// Gravity along the slope over resistance for a rolling ball; from 1 on it does not stop.
double roll_ratio(double slope, double green_speed_ft);
// Standard error of the slope in any direction from the survey, ratio.
double slope_standard_error(const ErrorModel& error);

// How far a criterion is from its limit: 1 comfortable, 0 at the limit, negative by the share that it misses.
double margin(const Criterion& criterion);

// The narrowest holing window of 1.5 m putts from above, below and both sides, as a share of that on level ground.
double window_share(const TerrainModel& terrain, Vec2 p, Vec2 downhill, double green_speed_ft, CaptureModel capture);

// Score from the margins and the window; 0 where a criterion fails.
double hole_score(const HolePosition& position, double window);

// Everything of judge_hole but the window and the sentence. `all` works out the stopping even where another fails.
HolePosition judge_criteria(const TerrainModel& terrain, Vec2 p, double green_speed_ft, const HoleLimits& limits, bool all);

void check_hole_question(const TerrainModel& terrain, double green_speed_ft, const HoleLimits& limits);

}  // namespace brae
