// The ground round a hole, the criteria of its edge and slope, and how far any criterion is from its limit.
#pragma once

#include "core/plan/hole_positions.h"

namespace brae {

// The ground within a radius of a place, from points of the outline's inside.
struct GroundRound {
    double slope = 0;            // mean size of the gradient, ratio
    double change = 0;           // largest departure of the gradient, as a vector, from its mean, ratio
};
GroundRound ground_round(const TerrainModel& terrain, Vec2 p, double radius_m);

Criterion edge_criterion(double edge_m, const HoleLimits& limits);
Criterion slope_criterion(double slope, double green_speed_ft, const HoleLimits& limits);
Criterion change_criterion(double change, double slope_se, const HoleLimits& limits);

// Slope that the limits allow at a green speed, ratio.
double allowed_slope(double green_speed_ft, const HoleLimits& limits);
// Gravity along the slope over resistance for a rolling ball; from 1 on it does not stop.
double roll_ratio(double slope, double green_speed_ft);
// Standard error of the slope in any direction from the survey, ratio.
double slope_standard_error(const ErrorModel& error);

// How far a criterion is from its limit: 1 comfortable, 0 at the limit, negative by the share that it misses.
double margin(const Criterion& criterion);

}  // namespace brae
