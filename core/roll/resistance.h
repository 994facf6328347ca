// Resistance that is not the same in every direction, at every speed and everywhere. Assumptions, off by default: none
// of them has a published figure that could be a default (docs/physics.md).
#pragma once

#include "core/survey/outline.h"

namespace brae {

struct ResistanceOptions {
    // Grain: resistance times 1 - strength cos(angle between the travel and the way the grass lies). 0 to 0.5.
    double grain_strength = 0;
    double grain_bearing_deg = 0;      // the way the grass lies, clockwise from grid north
    // Resistance follows (speed)^exponent, -0.5 to 0.5, constant below 0.1 m/s, scaled so that a ramp on level ground
    // reads the same green speed. Rising, falling and constant are reported.
    double speed_exponent = 0;
    // Outside the cut, where one is given, resistance is this many times as large. 0.5 to 10.
    double outside_factor = 1;
    const Outline* cut = nullptr;
};

// The factor on the level deceleration for a ball at p that moves with horizontal velocity v, speed3 along the surface.
double resistance_factor(const ResistanceOptions& options, Vec2 p, Vec2 v, double speed3) noexcept;

// Throws Error(usage) for values outside the ranges above.
void check_resistance(const ResistanceOptions& options);

}  // namespace brae
