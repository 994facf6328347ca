// One hole a day from a pool of fair places: thirds of the green in turn, and away from the holes of the last week.
#pragma once

#include "core/plan/hole_positions.h"

#include <array>
#include <string>
#include <vector>

namespace brae {

// The green in thirds along and across its long axis. Which end is the front depends on how the hole is played, which
// the survey does not know, so ends are named by the compass.
struct GreenThirds {
    Vec2 axis;                          // unit, along the green, towards the north or the east
    double along_low = 0, along_high = 0, across_low = 0, across_high = 0;
    std::array<std::string, 3> along_names;
    std::array<std::string, 3> across_names;
    int along(Vec2 p) const;            // 0, 1, 2
    int across(Vec2 p) const;           // 0 left, 1 centre, 2 right as one looks along the axis
    std::string name(Vec2 p) const;     // "north third, left"
};
GreenThirds green_thirds(const Outline& outline);

// For each day an index into the pool, or -1 where none keeps its distance from the holes of the seven days before.
// `recent` counts for the first seven days. A beam search over the days with fixed order of ties.
std::vector<int> rotate_holes(const std::vector<HolePosition>& pool, const GreenThirds& thirds, int days,
                              const std::vector<Vec2>& recent, double apart_m);

}  // namespace brae
