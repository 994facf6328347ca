// One ray run backwards from the hole that carries with it how the putt along it answers to errors.
#pragma once

#include "core/solve/ray_family.h"
#include "core/terrain/terrain_model.h"

#include <array>
#include <vector>

namespace brae {

// At one length from the hole: how the two conditions at the hole (passed how far to the side, and how fast; for no pace
// the two coordinates of the place of rest) answer to what happens there and on the way from there to the hole.
struct ErrorNode {
    Vec2 p, v;                                          // position, forward horizontal velocity
    std::array<std::array<double, 4>, 2> by_state{};    // to x, y, vx, vy here
    std::array<double, 2> by_green_speed{};             // to a foot of green speed, at the same pace
    std::array<double, 3> by_survey{};                  // covariance by the survey's error: 00, 01, 11
};

struct ErrorRay { std::vector<ErrorNode> nodes; };      // at the start, then at the lengths of the task

struct ErrorRayTask {
    const HeightField& surface;
    Vec2 hole;
    double green_speed_ft = 10, past_m = 0;
    ErrorModel error;
    std::vector<double> lengths;                        // of the nodes from the hole, rising, over 1 mm
    Box box;                                            // the ray ends at its first node outside
};
// Lengths close together near the hole, where the errors grow fast, and a part of the shorter correlation length apart
// farther out, so that an error hardly changes from one to the next.
std::vector<double> error_ray_lengths(const ErrorModel& error, double longest_m);

ErrorRay trace_error_ray(const ErrorRayTask& task, double parameter);

// Change of the start angle (ccw) by a foot of green speed, and its standard deviation by the survey, for a ball that
// starts at a node's place with this launch speed. False at a fold.
struct AngleErrors { double by_green_speed = 0, survey_se = 0; };
bool angle_errors(const ErrorNode& node, const SurfaceJet& jet, AngleErrors& out);

}  // namespace brae
