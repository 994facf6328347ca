#include "core/roll/rolling.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/roll/green_speed.h"
#include "core/roll/run_roll.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

double surface_speed(const SurfaceJet& jet, Vec2 v) noexcept {
    const double climb = jet.hx * v.x + jet.hy * v.y;
    return std::sqrt(dot(v, v) + climb * climb);
}

Vec2 horizontal_velocity(const SurfaceJet& jet, Vec2 direction, double speed3) noexcept {
    return speed3 / surface_speed(jet, direction) * direction;
}

RollRate roll_rate(const SurfaceJet& jet, Vec2 v, double level_decel) noexcept {
    const double w2 = 1 + jet.hx * jet.hx + jet.hy * jet.hy;
    const double q = jet.hxx * v.x * v.x + 2 * jet.hxy * v.x * v.y + jet.hyy * v.y * v.y;
    RollRate out;
    out.speed3 = surface_speed(jet, v);
    out.normal = (kGravity + q) / std::sqrt(w2);

    // Gravity along the surface and the bend of the path that the surface forces; then resistance against the motion,
    // which a ball that has lost contact does not feel.
    const double gradient = -(kRollFactor * kGravity + q) / w2;
    const double grip = std::max(out.normal, 0.0) * level_decel / kGravity;
    const double resist = out.speed3 > 0 ? grip / out.speed3 : 0.0;
    out.a = {gradient * jet.hx - resist * v.x, gradient * jet.hy - resist * v.y};
    return out;
}

std::string to_text(RollEnd end) {
    switch (end) {
        case RollEnd::stopped: return "stopped";
        case RollEnd::holed: return "holed";
        case RollEnd::left_green: return "left-green";
        case RollEnd::airborne: return "airborne";
        case RollEnd::rolling: break;
    }
    return "rolling";
}

RollPath roll(const HeightField& surface, const Outline& outline, Vec2 ball, Vec2 direction, double speed_mps,
              double green_speed_ft, const RollOptions& options) {
    // What has no meaning is refused in one sentence.
    if (!(speed_mps >= 0 && speed_mps <= 20))
        throw usage_error(fmt::format("the launch speed is {} m/s; 0 to 20 m/s are wanted", speed_mps));
    if (!(dot(direction, direction) > 0) || !std::isfinite(dot(direction, direction)))
        throw usage_error("the launch has no direction; a horizontal direction is wanted");
    if (!std::isfinite(ball.x) || !std::isfinite(ball.y) || (!outline.empty() && !outline.contains(ball)))
        throw usage_error(fmt::format("the ball at {:.3f},{:.3f} is not on the green", ball.x, ball.y));
    if (options.hole && (!std::isfinite(options.hole->x) || !std::isfinite(options.hole->y)))
        throw usage_error("the hole's place is not a number");
    if (!(options.tolerance >= 1e-14 && options.tolerance <= 1e-2))
        throw usage_error(fmt::format("the tolerance is {}; 1e-14 to 1e-2 are wanted", options.tolerance));
    if (!(options.sample_step_m > 1e-5))
        throw usage_error(fmt::format("the sample step is {} m; over 1e-5 m is wanted", options.sample_step_m));
    if (!(options.time_limit_s > 0 && options.time_limit_s <= 3600))
        throw usage_error(fmt::format("the time limit is {} s; up to 3600 s are wanted", options.time_limit_s));
    const double level_decel = level_deceleration(green_speed_ft);

    RollRun run{options.hole, options.covered, options.tolerance, options.time_limit_s, options.sample_step_m,
                0, nullptr, options.capture};
    if (options.resistance) {
        check_resistance(*options.resistance);
        run.resistance = &*options.resistance;
    }
    const Vec2 v = horizontal_velocity(surface.jet(ball.x, ball.y), unit(direction), speed_mps);
    RollPath path;
    const RollOutcome out = run_roll(surface, outline, {ball, v}, level_decel, run, &path.samples);
    path.end = out.end;
    path.length_m = out.length_m;
    path.time_s = out.time_s;
    path.pass = out.pass;
    path.capture = options.capture;
    return path;
}

}  // namespace brae
