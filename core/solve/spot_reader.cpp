#include "core/solve/spot_reader.h"

#include "core/base/constants.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"
#include "core/solve/back_trace.h"
#include "core/solve/fan_kernel.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace brae {

namespace {

constexpr int kMostPasses = 8;
constexpr double kWidest = 0.15;          // rad, half a fan
constexpr double kFirstGuess = 0.1;       // part of a linear step by which it may be off
constexpr double kNarrowest = 1e-3;       // m at the ball, half a fan: narrower ones tell the rays' errors, not their differences
constexpr double kLongestTaylor = 0.02;   // m; no farther from the fan's ends does the answer lie

// The cubics in u, -1 to 1 across the fan, through its four rays.
struct FanCubic {
    double a0, a1, a2, a3;
    explicit FanCubic(const double* f)
        : a0((9 * (f[1] + f[2]) - (f[0] + f[3])) / 16), a1((27 * (f[2] - f[1]) - (f[3] - f[0])) / 16),
          a2(9 * ((f[0] + f[3]) - (f[1] + f[2])) / 16), a3(9 * ((f[3] - f[0]) - 3 * (f[2] - f[1])) / 16) {}
    double at(double u) const { return ((a3 * u + a2) * u + a1) * u + a0; }
    double slope(double u) const { return (3 * a3 * u + 2 * a2) * u + a1; }
    // About what a fifth ray would differ by: the series taken to go on as it began.
    double doubt() const { return 0.2 * a3 * a3 / std::max({std::abs(a2), std::abs(a3), 1e-300}); }
};

}  // namespace

double SpotRead::aim_offset_m(Vec2 hole) const noexcept {
    const Vec2 line = hole - ball, across = right_of(line);
    const double ahead = dot(velocity, line);
    return ahead > 1e-9 * norm(velocity) * norm(line) ? norm(line) * dot(velocity, across) / ahead
                                                      : std::numeric_limits<double>::quiet_NaN();
}

SpotReader::SpotReader(const HeightField& surface, Vec2 hole, double level_decel, double hole_speed, double tolerance)
    : surface_(surface), spline_(dynamic_cast<const SplineSurface*>(&surface)), hole_(hole), level_decel_(level_decel),
      hole_speed_(hole_speed), tolerance_(std::clamp(tolerance, 1e-13, 1e-2)), jet_(surface.jet(hole.x, hole.y)),
      dying_(hole_speed < kTangentSpeed) {
    const double v = dying_ ? kTangentSpeed : hole_speed;
    first_step_ = 0.4 * v * v / (2 * level_decel);
}

std::optional<SpotRead> SpotReader::read(Vec2 ball, const SpotRead& neighbour) const {
    const Vec2 step = ball - neighbour.ball;
    const double reach = norm(neighbour.parameter_by_ball) * norm(step);
    return settle(ball, {neighbour.parameter + dot(neighbour.parameter_by_ball, step), neighbour.s + dot(neighbour.s_by_ball, step),
                         std::max(kFirstGuess * reach, kNarrowest * norm(neighbour.parameter_by_ball))});
}

std::optional<SpotRead> SpotReader::read(Vec2 ball, const SpotGuess& guess) const {
    return settle(ball, {guess.parameter, guess.s, guess.parameter_range});
}

std::optional<SpotRead> SpotReader::settle(Vec2 ball, Start start) const {
    if (dying_ && slope_ratio_to_grip(jet_, level_decel_) >= 1) return std::nullopt;
    FanTask task;
    task.spline = spline_;
    task.field = &surface_;
    task.level_decel = level_decel_;
    task.first_step = first_step_;
    task.tolerance = tolerance_;
    const double taylor = std::min(kLongestTaylor, 10 * std::sqrt(tolerance_));
    const double narrowest = 1e-13 * std::max(1.0, std::abs(start.parameter));
    for (int pass = 1; pass <= kMostPasses; ++pass) {
        if (!(std::abs(start.parameter) < 1e3 && start.s > 0 && start.s < 1e3)) return std::nullopt;
        const double half = std::clamp(start.half_width, narrowest, kWidest);

        // Four rays from the hole.
        Fan fan;
        for (int n = 0; n < kFanRays; ++n) {
            const double angle = start.parameter + half * (2.0 * n / 3 - 1);
            RollState from{hole_, {}};
            double t = 0;
            if (dying_) {
                const BackStart b = back_start(surface_, hole_, level_decel_, hole_speed_, angle);
                from = b.state;
                t = b.t;
            } else {
                from.v = horizontal_velocity(jet_, {std::cos(angle), std::sin(angle)}, hole_speed_);
            }
            const double values[kRayQuantities] = {from.p.x, from.p.y, from.v.x, from.v.y, t};
            for (int c = 0; c < kRayQuantities; ++c) fan.value[c][n] = values[c];
        }
        task.s_end = start.s;
        if (!trace_fan(task, fan)) {
            // A narrower fan may pass where a wide one is cut short.
            if (half <= narrowest) return std::nullopt;
            start.half_width = 0.1 * half;
            continue;
        }
        const FanCubic x(fan.value[kRayX]), y(fan.value[kRayY]), vx(fan.value[kRayVx]), vy(fan.value[kRayVy]), t(fan.value[kRayT]);
        const FanCubic xs(fan.by_s[kRayX]), ys(fan.by_s[kRayY]), vxs(fan.by_s[kRayVx]), vys(fan.by_s[kRayVy]), ts(fan.by_s[kRayT]);

        // The place of the ball: u across the fan, and so much farther than its ends, to second order.
        double u = 0, on = 0;
        Vec2 by_u, by_s;
        bool inside = true;
        for (int n = 0; n < 12; ++n) {
            const Vec2 v{vx.at(u), vy.at(u)}, turn{vxs.at(u), vys.at(u)};
            const double v2 = dot(v, v), speed = std::sqrt(v2);
            const Vec2 bend = -(turn - dot(turn, v) / v2 * v) / speed, along{xs.at(u), ys.at(u)};
            const Vec2 miss = Vec2{x.at(u), y.at(u)} + on * along + 0.5 * on * on * bend - ball;
            by_u = Vec2{x.slope(u), y.slope(u)} + on * Vec2{xs.slope(u), ys.slope(u)};
            by_s = along + on * bend;
            const double det = cross(by_u, by_s);
            if (!(std::abs(det) > 1e-12 * norm(by_u))) return std::nullopt;
            const double du = cross(miss, by_s) / det, ds = cross(by_u, miss) / det;
            u -= du;
            on -= ds;
            if (!(std::abs(u) < 1e6 && std::abs(on) < 1e3)) return std::nullopt;
            // Well outside, polynomials say no more than which way to go.
            if (std::abs(u) > 2 || std::abs(on) > 0.3) {
                inside = false;
                break;
            }
            if (std::abs(du) * norm(by_u) + std::abs(ds) < 0.01 * tolerance_) break;
        }
        const double away = distance(ball, hole_), speed = std::hypot(vx.at(0), vy.at(0));
        const double doubt = std::max({x.doubt(), y.doubt(), (vx.doubt() + vy.doubt()) * std::max(1.0, away / speed)});
        const double across = std::hypot(x.a1, y.a1), narrow = half * kNarrowest / std::max(across, 1e-300);
        if (!inside || std::abs(u) > 1.2 || std::abs(on) > taylor || (doubt > 50 * tolerance_ && across > 1.5 * kNarrowest)) {
            // Again from there, in a fan as wide as this step may have been wrong.
            const double step_u = std::clamp(u, -8.0, 8.0), step_on = std::clamp(on, -0.5 * start.s, 1.0);
            start.parameter += step_u * half;
            start.s += step_on;
            const double wanted = inside && std::abs(u) <= 1.2 ? 0.2 * half : 0.5 * std::abs(step_u) * half;
            start.half_width = std::max(wanted, narrow);
            continue;
        }

        SpotRead out;
        out.ball = ball;
        out.parameter = start.parameter + u * half;
        out.s = start.s + on;
        out.velocity = {vx.at(u) + on * vxs.at(u), vy.at(u) + on * vys.at(u)};
        const SurfaceJet jet = surface_.jet(ball.x, ball.y);
        out.launch_mps = surface_speed(jet, out.velocity);
        out.time_s = t.at(u) + on * ts.at(u);
        const double det = cross(by_u, by_s);
        out.parameter_by_ball = half / det * Vec2{by_s.y, -by_s.x};
        out.s_by_ball = 1 / det * Vec2{-by_u.y, by_u.x};
        out.passes = pass;
        return out;
    }
    return std::nullopt;
}

}  // namespace brae
