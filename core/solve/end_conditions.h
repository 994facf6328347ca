// What must hold where a putt meets the hole, and how motion answers to a change of state: what the linear standard
// errors of a read are made of.
#pragma once

#include "core/base/constants.h"
#include "core/roll/plane_motion.h"
#include "core/roll/rolling.h"

#include <array>

namespace brae {

using MotionState = std::array<double, 4>;   // x, y and the horizontal velocity vx, vy

// d f / d y of the equations of motion y' = f(y), by central differences.
inline std::array<MotionState, 4> motion_jacobian(const HeightField& surface, double level_decel, const MotionState& y) {
    std::array<MotionState, 4> out{};
    out[0][2] = out[1][3] = 1;
    const double step = 1e-5;
    const SurfaceJet here = surface.jet(y[0], y[1]);
    for (int j = 0; j < 4; ++j) {
        MotionState up = y, down = y;
        up[j] += step;
        down[j] -= step;
        const Vec2 a = roll_rate(j < 2 ? surface.jet(up[0], up[1]) : here, {up[2], up[3]}, level_decel).a;
        const Vec2 b = roll_rate(j < 2 ? surface.jet(down[0], down[1]) : here, {down[2], down[3]}, level_decel).a;
        out[2][j] = (a.x - b.x) / (2 * step);
        out[3][j] = (a.y - b.y) / (2 * step);
    }
    return out;
}

// At the hole with the asked speed, or at 10 mm/s where the rest ends in the hole (hole_speed under that): 0, 0, 0.
inline std::array<double, 3> end_miss(const HeightField& surface, Vec2 hole, double level_decel, double hole_speed,
                                      const MotionState& y) {
    const SurfaceJet jet = surface.jet(y[0], y[1]);
    const Vec2 v{y[2], y[3]};
    Vec2 p{y[0], y[1]};
    const bool dying = hole_speed < kTangentSpeed;
    if (dying) p = p + stop_on_tangent_plane(jet, v, level_decel).displacement;
    return {p.x - hole.x, p.y - hole.y, surface_speed(jet, v) - (dying ? kTangentSpeed : hole_speed)};
}

}  // namespace brae
