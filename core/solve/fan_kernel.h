// Four neighbouring rays run backwards from the hole to one length, side by side in vector registers.
#pragma once

#include "core/solve/ray_kernel.h"

namespace brae {

struct FanTask {
    const SplineSurface* spline = nullptr;   // either this, by vector instructions,
    const HeightField* field = nullptr;      // or any other surface, one call a lane
    double level_decel = 0;
    double s_end = 0;                        // horizontal length, m
    double first_step = 0.1;                 // m
    double tolerance = 1e-6;                 // local error of a step, m and m/s
};

inline constexpr int kFanRays = 4;

// The quantities of four rays and their derivatives by the length.
struct Fan { double value[kRayQuantities][kFanRays], by_s[kRayQuantities][kFanRays]; };

// `fan.value` holds the starts and is overwritten by the ends. False where a ray ends before: its speed falls to 1 mm/s,
// it flies, or steps get too short or too many. Each ray comes out the same to the bit on every vector target.
bool trace_fan(const FanTask& task, Fan& fan);

}  // namespace brae
