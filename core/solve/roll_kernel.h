// Many balls rolled forwards side by side in vector registers, one in each lane; the only door to roll_kernel.cpp, which
// is compiled for several vector targets. Ends that are rare are left to the scalar engine (roll_batch.cpp).
#pragma once

#include "core/base/vec.h"
#include "core/terrain/spline_surface.h"

#include <cstddef>

namespace brae {

struct RollLaneState { Vec2 p, v; double s = 0, t = 0; };   // s: horizontal length gone

// slow: rolls slower than 10 mm/s. stopped_short: at the start of a step in which something else happens (the edge, the
// ground falls away, the time limit, steps that get too short).
enum class RollLaneEnd { slow, stopped_short };
struct RollLaneResult { RollLaneState at; RollLaneEnd end = RollLaneEnd::stopped_short; };

// Asked by the kernel where a step ends beyond the length up to which its ball was known to be inside.
class RollEdge {
public:
    virtual ~RollEdge() = default;
    // The new such length, or less than `after.s` where the step leaves the green.
    virtual double inside_until(const RollLaneState& before, const RollLaneState& after) const = 0;
};

struct RollLaneTask {
    const SplineSurface* spline = nullptr;   // either this, by vector instructions,
    const HeightField* field = nullptr;      // or any other surface, one call a lane
    const RollEdge* edge = nullptr;
    double level_decel = 0, tolerance = 1e-6, time_limit_s = 60;
};

// Rolls balls 0 .. count - 1, each from `starts` faster than 10 mm/s; a lane whose ball has ended takes the next one.
// inside_until[k]: as RollEdge. Each ball comes out the same to the bit in any company and on any vector target.
// Dormand-Prince 5(4) in time. Returns the evaluations of the motion, over all balls.
std::size_t roll_lanes(const RollLaneTask& task, const RollLaneState* starts, const double* inside_until, std::size_t count,
                       RollLaneResult* results);

}  // namespace brae
