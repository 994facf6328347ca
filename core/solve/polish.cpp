#include "core/solve/polish.h"

#include "core/base/constants.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"
#include "core/solve/back_trace.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr double kFine = 1e-11;   // local error of the last backward steps

}  // namespace

std::optional<BackSolution> polish_backward(const PuttGround& ground, RayHit start) {
    double parameter = start.parameter, s = start.s, spread = 0;
    BackOutcome out;
    const auto trace = [&](double at, double length, double tolerance) {
        BackRun run;
        run.s_end = length;
        run.tolerance = tolerance;
        run.speeds = false;
        return trace_back(ground.surface, nullptr,
                          back_start(ground.surface, ground.hole, ground.level_decel, ground.hole_speed, at),
                          ground.level_decel, run, nullptr);
    };

    double tolerance = 1e-7, nudge = 1e-6, shrink = 1;
    out = trace(parameter, s, tolerance);
    double size = out.reached ? distance(out.last.p, ground.ball) : 0;
    const double first = size;
    Vec2 across;
    for (int n = 0; n < 60 && out.reached; ++n) {
        // Close enough for the fine steps, close enough to be done.
        if (size < 1e-5 && tolerance > kFine) {
            tolerance = kFine;
            out = trace(parameter, s, tolerance);
            if (!out.reached) break;
            size = distance(out.last.p, ground.ball);
        }
        if (size < 1e-8 && tolerance == kFine) return BackSolution{parameter, out.last};
        if (size > 3 * first + 1) break;

        // How the end moves with the parameter: by a neighbour about 0.1 mm away. What is known serves while it works.
        if (shrink > 0.1) {
            if (spread > 0) nudge = std::clamp(1e-4 / spread, 1e-14, 1e-3);
            BackOutcome beside = trace(parameter + nudge, s, tolerance);
            for (int k = 0; k < 6 && beside.reached; ++k) {
                const double moved = distance(beside.last.p, out.last.p);
                if ((moved > 1e-5 || nudge >= 1e-2) && (moved < 3e-3 || nudge <= 1e-14)) break;
                nudge = std::clamp(nudge * (moved > 0 ? 1e-4 / moved : 100.0), 1e-14, 1e-2);
                beside = trace(parameter + nudge, s, tolerance);
            }
            if (!beside.reached) break;
            const double real_nudge = (parameter + nudge) - parameter;
            if (real_nudge == 0) break;
            across = (beside.last.p - out.last.p) / real_nudge;
            spread = norm(across);
        }
        const bool fresh = shrink > 0.1;
        const Vec2 along = -unit(out.last.v), miss = ground.ball - out.last.p;
        const double det = cross(across, along);
        if (det == 0 || !(spread > 0)) break;

        // Newton, no farther than half a metre, shortened until the miss shrinks.
        double d_parameter = cross(miss, along) / det, d_s = cross(across, miss) / det;
        const double reach = std::max(std::abs(d_parameter) * spread, std::abs(d_s));
        if (reach > 0.5) {
            d_parameter *= 0.5 / reach;
            d_s *= 0.5 / reach;
        }
        bool better = false;
        const double before = size;
        for (int k = 0; k < (fresh ? 6 : 1) && !better; ++k, d_parameter *= 0.4, d_s *= 0.4) {
            if (s + d_s <= 0.005) continue;
            const BackOutcome trial = trace(parameter + d_parameter, s + d_s, tolerance);
            if (!trial.reached) continue;
            const double trial_size = distance(trial.last.p, ground.ball);
            if (trial_size < size) {
                better = true;
                parameter += d_parameter;
                s += d_s;
                out = trial;
                size = trial_size;
            }
        }
        if (!better && fresh) break;
        shrink = better ? size / before : 1;
    }
    // Rounding of the angle may be what is left; 1e-7 m is still exact for every use.
    if (out.reached && tolerance == kFine && size < 1e-7) return BackSolution{parameter, out.last};
    return std::nullopt;
}

Miss miss_of(const PuttGround& ground, Launch launch, double tolerance) {
    const Vec2 direction{std::cos(launch.angle), std::sin(launch.angle)};
    const SurfaceJet jet = ground.surface.jet(ground.ball.x, ground.ball.y);
    return miss_from(ground, {ground.ball, horizontal_velocity(jet, direction, launch.speed)}, tolerance);
}

Miss miss_from(const PuttGround& ground, RollState start, double tolerance) {
    RollRun run;
    run.hole = ground.hole;
    run.covered = true;
    run.tolerance = tolerance;
    const bool dying = ground.hole_speed < kTangentSpeed;
    run.end_at_pass_m = dying ? 0 : 0.5;
    const RollOutcome out = run_roll(ground.surface, Outline(), start, ground.level_decel, run, nullptr);
    if (dying) return {out.at.p - ground.hole, out.end == RollEnd::stopped};
    if (!out.pass) return {};
    // A ball that stops short counts as one that is too slow, smoothly in the squared speed.
    const double squared = out.pass->speed_mps > 0 ? out.pass->speed_mps * out.pass->speed_mps
                                                   : -2 * ground.level_decel * std::abs(out.pass->offset_m);
    const double wanted = ground.hole_speed;
    const double offset = out.pass->speed_mps > 0
                              ? out.pass->offset_m
                              : cross(out.pass->direction, ground.hole - out.at.p);
    return {{offset, (squared - wanted * wanted) / (2 * wanted)}, true};
}

std::optional<Launch> polish_forward(const PuttGround& ground, Launch start, double tolerance) {
    Launch at = start;
    Miss miss = miss_of(ground, at, tolerance);
    const double enough = std::max(1e-8, 10 * tolerance);
    double shrink = 1;
    Vec2 by_angle, by_speed;
    for (int n = 0; n < 40 && miss.defined; ++n) {
        if (miss.size() < enough) return at;
        // How the miss changes with the launch; what is known serves while it works.
        const bool fresh = shrink > 0.1;
        if (fresh) {
            constexpr double kTurn = 1e-5, kPush = 1e-5;
            const Miss turned = miss_of(ground, {at.angle + kTurn, at.speed}, tolerance);
            const Miss pushed = miss_of(ground, {at.angle, at.speed + kPush}, tolerance);
            if (!turned.defined || !pushed.defined) break;
            by_angle = (turned.value - miss.value) / kTurn;
            by_speed = (pushed.value - miss.value) / kPush;
        }
        const double det = cross(by_angle, by_speed);
        if (det == 0) break;
        double d_angle = -cross(miss.value, by_speed) / det, d_speed = -cross(by_angle, miss.value) / det;
        const double reach = std::max(std::abs(d_angle) / 0.1, std::abs(d_speed) / 0.2);
        if (reach > 1) {
            d_angle /= reach;
            d_speed /= reach;
        }
        bool better = false;
        const double before = miss.size();
        for (int k = 0; k < (fresh ? 6 : 1) && !better; ++k, d_angle *= 0.4, d_speed *= 0.4) {
            const Launch trial{at.angle + d_angle, at.speed + d_speed};
            if (!(trial.speed > 0 && trial.speed < 2 * kFastestLaunchMps)) continue;
            const Miss trial_miss = miss_of(ground, trial, tolerance);
            if (!trial_miss.defined || !(trial_miss.size() < miss.size())) continue;
            better = true;
            at = trial;
            miss = trial_miss;
        }
        if (!better && fresh) break;
        shrink = better ? miss.size() / before : 1;
    }
    if (miss.defined && miss.size() < 10 * enough) return at;
    return std::nullopt;
}

}  // namespace brae
