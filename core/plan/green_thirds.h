// A green in thirds along and across, with names for them.
#pragma once

#include "core/survey/outline.h"

#include <array>
#include <string>

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

}  // namespace brae
