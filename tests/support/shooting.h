// An independent way to solve a putt: forward shooting with a plain fourth-order Runge-Kutta of fixed step and Newton
// on direction and speed. Slow and simple, to check the solver by rays against.
#pragma once

#include "core/base/constants.h"
#include "core/base/vec.h"
#include "core/terrain/spline_surface.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace brae::test {

struct Shot { double offset = 0, speed = 0; };          // at the closest approach to the hole
struct ShotAnswer { Vec2 direction; double launch = 0; };

// Rolling on the surface in 3D: gravity times 5/7, curvature in the normal force, resistance against the motion.
inline Vec2 shot_acceleration(const SurfaceJet& j, Vec2 v, double decel) {
    const double w2 = 1 + j.hx * j.hx + j.hy * j.hy;
    const double q = j.hxx * v.x * v.x + 2 * j.hxy * v.x * v.y + j.hyy * v.y * v.y;
    const double vz = j.hx * v.x + j.hy * v.y, speed = std::sqrt(dot(v, v) + vz * vz);
    const double push = 5.0 / 7.0 * kGravity / w2 + q / w2;
    const double drag = speed > 0 ? decel / kGravity * (kGravity + q) / std::sqrt(w2) / speed : 0;
    return {-push * j.hx - drag * v.x, -push * j.hy - drag * v.y};
}

inline Shot shoot(const HeightField& ground, Vec2 ball, Vec2 hole, Vec2 direction, double launch, double decel) {
    // Horizontal speed whose 3D speed is the launch.
    const SurfaceJet j0 = ground.jet(ball.x, ball.y);
    const double rise = j0.hx * direction.x + j0.hy * direction.y;
    Vec2 p = ball, v = launch / std::sqrt(1 + rise * rise) * direction;
    const double h = 1.0 / 500;
    const auto a = [&](Vec2 q, Vec2 u) { return shot_acceleration(ground.jet(q.x, q.y), u, decel); };
    for (int k = 0; k < 10000; ++k) {
        const Vec2 p0 = p, v0 = v;
        const Vec2 a1 = a(p, v), v2 = v + h / 2 * a1, a2 = a(p + h / 2 * v, v2), v3 = v + h / 2 * a2,
                   a3 = a(p + h / 2 * v2, v3), v4 = v + h * a3, a4 = a(p + h * v3, v4);
        p = p + h / 6 * (v + 2 * v2 + 2 * v3 + v4);
        v = v + h / 6 * (a1 + 2 * a2 + 2 * a3 + a4);
        const Vec2 line = hole - p;
        if (dot(line, v) <= 0 || norm(v) < 0.02) {
            // Passed the hole, or nearly stopped: within the last step the motion is straight.
            const double t = std::clamp(dot(hole - p0, p - p0) / std::max(dot(p - p0, p - p0), 1e-18), 0.0, 1.0);
            const Vec2 at = p0 + t * (p - p0), u = v0 + t * (v - v0);
            const SurfaceJet j = ground.jet(at.x, at.y);
            const double vz = j.hx * u.x + j.hy * u.y;
            const double short_of = dot(line, v) > 0 ? norm(line) : 0;
            return {-cross(unit(u), at - hole), std::sqrt(dot(u, u) + vz * vz) - short_of};
        }
    }
    return {1e3, -1e3};
}

// Direction and launch that pass the hole's centre at a speed; empty where Newton does not settle.
inline std::optional<ShotAnswer> solve_by_shooting(const HeightField& ground, Vec2 ball, Vec2 hole, double speed_at_hole,
                                                   double decel) {
    // From a straight line at the speed that the drop and the length ask for.
    const double d = distance(ball, hole), drop = ground.height(ball.x, ball.y) - ground.height(hole.x, hole.y);
    double angle = std::atan2(hole.y - ball.y, hole.x - ball.x);
    double launch = std::sqrt(std::max(0.3, speed_at_hole * speed_at_hole + 2 * decel * d - 2 * 5.0 / 7.0 * kGravity * drop));
    const auto miss = [&](double at, double speed) {
        Shot s = shoot(ground, ball, hole, {std::cos(at), std::sin(at)}, speed, decel);
        s.speed -= speed_at_hole;
        return s;
    };
    for (int k = 0; k < 40; ++k) {
        const Shot f = miss(angle, launch);
        if (std::abs(f.offset) < 2e-5 && std::abs(f.speed) < 2e-5) return ShotAnswer{{std::cos(angle), std::sin(angle)}, launch};
        const double e = 1e-4;
        const Shot fa = miss(angle + e, launch), fv = miss(angle, launch + e);
        const double a = (fa.offset - f.offset) / e, b = (fv.offset - f.offset) / e, c = (fa.speed - f.speed) / e,
                     g = (fv.speed - f.speed) / e, det = a * g - b * c;
        if (std::abs(det) < 1e-9) return std::nullopt;
        double da = -(g * f.offset - b * f.speed) / det, dv = -(a * f.speed - c * f.offset) / det;
        const double scale = std::min({1.0, 0.2 / std::max(std::abs(da), 1e-12), 0.3 / std::max(std::abs(dv), 1e-12)});
        angle += scale * da;
        launch = std::max(0.2, launch + scale * dv);
    }
    return std::nullopt;
}

}  // namespace brae::test
