#include "core/solve/launch_sensitivity.h"

#include "core/base/constants.h"
#include "core/roll/green_speed.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"
#include "core/solve/hole_line.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr double kTolerance = 1e-11;
constexpr double kPushTolerance = 1e-9;   // a push moves the end by 1e-4 m or more

// Half the difference of two misses over a step.
bool difference(const Miss& up, const Miss& down, double step, Vec2& out) {
    out = (up.value - down.value) / (2 * step);
    return up.defined && down.defined && std::isfinite(out.x) && std::isfinite(out.y);
}

// The same end condition on a green of another speed.
PuttGround at_speed(const PuttGround& ground, double green_speed_ft, double past_m) {
    PuttGround other = ground;
    other.level_decel = level_deceleration(green_speed_ft);
    if (ground.hole_speed >= kTangentSpeed) other.hole_speed = speed_at_hole(past_m, green_speed_ft);
    return other;
}

}  // namespace

LaunchSensitivity launch_sensitivity(const PuttGround& ground, Launch launch, double time_s, double green_speed_ft,
                                     double past_m, double correlation_m) {
    LaunchSensitivity out;

    // By the launch itself.
    const double turn = 1e-4, push = 1e-4 * launch.speed;
    Vec2 by_angle, by_speed;
    if (!difference(miss_of(ground, {launch.angle + turn, launch.speed}, kTolerance),
                    miss_of(ground, {launch.angle - turn, launch.speed}, kTolerance), turn, by_angle) ||
        !difference(miss_of(ground, {launch.angle, launch.speed + push}, kTolerance),
                    miss_of(ground, {launch.angle, launch.speed - push}, kTolerance), push, by_speed))
        return out;
    out.miss_by_launch = {by_angle.x, by_speed.x, by_angle.y, by_speed.y};
    // Columns that are nearly parallel are a fold.
    if (!(std::abs(out.miss_by_launch.det()) > 1e-6 * norm(by_angle) * norm(by_speed))) return out;
    out.launch_by_end = out.miss_by_launch.inverse();

    // By green speed: what the same launch misses by, taken back by the launch.
    const double low = std::max(kSlowestGreenFt, green_speed_ft - 0.01);
    const double high = std::min(kFastestGreenFt, green_speed_ft + 0.01);
    Vec2 by_feet;
    if (!difference(miss_of(at_speed(ground, high, past_m), launch, kTolerance),
                    miss_of(at_speed(ground, low, past_m), launch, kTolerance), 0.5 * (high - low), by_feet))
        return out;
    out.launch_by_speed = -(out.launch_by_end * by_feet);
    out.defined = true;
    if (!(correlation_m > 0) || !(time_s > 0)) return out;

    // By a push of the velocity at the middle of each of equal times; a slope error pushes by 5/7 g dt / W^2 downhill.
    const Vec2 direction{std::cos(launch.angle), std::sin(launch.angle)};
    RollState state{ground.ball, horizontal_velocity(ground.surface.jet(ground.ball.x, ground.ball.y), direction, launch.speed)};
    const int n = std::clamp(static_cast<int>(std::ceil(launch.speed * time_s / (0.4 * correlation_m))), 24, 96);
    const double dt = time_s / n;
    for (int i = 0; i < n; ++i) {
        state = state_after(ground.surface, state, ground.level_decel, i == 0 ? dt / 2 : dt);
        const double v = norm(state.v);
        if (!(v > 0)) break;
        const double kick = 1e-3 * v;
        Vec2 by_x, by_y;
        const auto kicked = [&](Vec2 by) { return miss_from(ground, {state.p, state.v + by}, kPushTolerance); };
        if (!difference(kicked({kick, 0}), kicked({-kick, 0}), kick, by_x) ||
            !difference(kicked({0, kick}), kicked({0, -kick}), kick, by_y)) {
            out.defined = false;
            return out;
        }
        const SurfaceJet jet = ground.surface.jet(state.p.x, state.p.y);
        const double pull = kRollFactor * kGravity * dt / (1 + jet.hx * jet.hx + jet.hy * jet.hy);
        // Launch = -J^-1 miss, and the push is against the slope: the signs cancel.
        const Mat2 answer = out.launch_by_end * Mat2{by_x.x, by_y.x, by_x.y, by_y.y};
        out.nodes.push_back({state, (i + 0.5) * dt, pull,
                             {pull * answer.a, pull * answer.b, pull * answer.c, pull * answer.d}});
    }
    return out;
}

}  // namespace brae
