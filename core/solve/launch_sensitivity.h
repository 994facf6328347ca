// How the launch that meets an end condition answers to the end, to green speed and to errors of the ground, all by
// finite differences of rolls. docs/solver.md, "What a finished ball reveals".
#pragma once

#include "core/solve/polish.h"

#include <vector>

namespace brae {

// Rows (a b) and (c d).
struct Mat2 {
    double a = 0, b = 0, c = 0, d = 0;
    double det() const { return a * d - b * c; }
    friend Vec2 operator*(const Mat2& m, Vec2 v) { return {m.a * v.x + m.b * v.y, m.c * v.x + m.d * v.y}; }
    friend Mat2 operator*(const Mat2& m, const Mat2& n) {
        return {m.a * n.a + m.b * n.c, m.a * n.b + m.b * n.d, m.c * n.a + m.d * n.c, m.c * n.b + m.d * n.d};
    }
    Mat2 inverse() const { return {d / det(), -b / det(), -c / det(), a / det()}; }
};

// A place on the path where an error of slope, grad(dh), changes the launch that is found by launch_by_slope * grad(dh).
struct SlopeNode {
    RollState at;
    double time_s = 0;
    double pull = 0;        // m/s of velocity lost to a slope error of 1 there: 5/7 g dt / W^2
    Mat2 launch_by_slope;   // rad and m/s per unit of slope
};

struct LaunchSensitivity {
    bool defined = false;   // false at a fold, or where a neighbouring roll does not come to the end condition
    Mat2 miss_by_launch;    // columns: per rad, per m/s
    Mat2 launch_by_end;     // its inverse: rad and m/s per unit of the end condition
    Vec2 launch_by_speed;   // rad and m/s per ft of green speed at the same end condition (pace past_m)
    std::vector<SlopeNode> nodes;
};

// launch meets the end condition of the ground (see Miss). time_s: how long it rolls to it. correlation_m: the shortest
// length over which the ground's error changes; 0 leaves the nodes out.
LaunchSensitivity launch_sensitivity(const PuttGround& ground, Launch launch, double time_s, double green_speed_ft,
                                     double past_m, double correlation_m);

}  // namespace brae
