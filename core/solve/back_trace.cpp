#include "core/solve/back_trace.h"

#include "core/base/constants.h"
#include "core/roll/ball_motion.h"
#include "core/roll/edge_watch.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace brae {

namespace {

constexpr int kMostSteps = 20000;
constexpr double kAtRest = 1e-3;   // m/s; a backward path that gets slower than this has no ball at its end

}  // namespace

BackStart back_start(const HeightField& surface, Vec2 hole, double level_decel, double hole_speed, double angle) {
    const SurfaceJet jet = surface.jet(hole.x, hole.y);
    const Vec2 direction{std::cos(angle), std::sin(angle)};
    BackStart out;
    out.e = slope_ratio_to_grip(jet, level_decel);
    out.dying = hole_speed < kTangentSpeed;
    out.state = {hole, horizontal_velocity(jet, direction, out.dying ? kTangentSpeed : hole_speed)};
    if (out.dying) {
        const TangentStop stop = stop_on_tangent_plane(jet, out.state.v, level_decel);
        out.state.p = hole - stop.displacement;
        out.s = norm(stop.displacement);
        out.t = stop.time_s;
    }
    return out;
}

BackOutcome trace_back(const HeightField& surface, const Outline* outline, const BackStart& start, double level_decel,
                       const BackRun& run, std::vector<RayPoint>* points) {
    using State = BallMotion::State;
    BallMotion motion{surface, level_decel, -1, {}, {}, std::numeric_limits<double>::infinity()};
    BallMotion::Solver step;
    StepControl control;
    const KnotLines knots(surface);
    std::optional<EdgeWatch> edge;
    if (outline && !outline->empty()) edge.emplace(*outline, start.state.p);

    const auto point = [&](const State& y, double t) {
        RayPoint p{position(y), velocity(y), 0, y[4], t};
        if (run.speeds) p.speed = surface_speed(surface.jet(y[0], y[1]), p.v);
        return p;
    };
    BackOutcome out;
    const auto finish = [&](const State& y, double t, RayEnd end, bool reached) {
        out.last = point(y, t);
        out.last.speed = surface_speed(surface.jet(y[0], y[1]), out.last.v);
        out.reached = reached;
        out.end = end;
        if (points && run.step_m > 0 && y[4] > points->back().s + 1e-9) points->push_back(out.last);
        return out;
    };

    step.y0 = {start.state.p.x, start.state.p.y, start.state.v.x, start.state.v.y, start.s};
    motion(step.y0, step.k1);
    double t = start.t, h = 0.02;
    std::size_t next = 1;
    if (points && run.step_m > 0) points->push_back(point(step.y0, t));

    for (int n = 0; n < kMostSteps; ++n) {
        // Steps stay short of rest and land on the knot lines.
        const Vec2 v = velocity(step.y0), a = motion.rate.a;
        double size = h;
        const double braking = dot(v, a), v2 = dot(v, v);
        if (motion.rate.speed3 < kAtRest && braking >= 0) return finish(step.y0, t, RayEnd::no_putt, false);
        if (motion.rate.normal <= 0) return finish(step.y0, t, RayEnd::airborne, false);
        if (motion.rate.speed3 > kFastestLaunchMps) return finish(step.y0, t, RayEnd::too_fast, false);
        if (braking > 0) size = std::min(size, 0.9 * v2 / braking);
        // Backwards the ball moves along -v and its acceleration along that path has the same sign as forwards.
        if (run.tolerance < 1e-7) size = knots.limit(position(step.y0), -v, a, size);
        size = std::min(size, 1.2 * (run.s_end - step.y0[4]) / std::sqrt(v2) + 1e-9);
        const bool shortened = size < h;

        const SurfaceJet jet0 = motion.jet;
        const RollRate rate0 = motion.rate;
        const double ratio = step.step(motion, size, 4) / run.tolerance;
        if (!(ratio <= 1)) {
            if (size < 1e-12) return finish(step.y0, t, RayEnd::no_putt, false);
            h = std::isfinite(ratio) ? size * control.factor(ratio) : size * 0.1;
            motion.jet = jet0;
            motion.rate = rate0;
            continue;
        }
        const double grown = size * control.factor(ratio);
        h = shortened ? std::max(h, grown) : grown;
        const SurfaceJet jet1 = motion.jet;
        const RollRate rate1 = motion.rate;

        // Where this step ends: at the edge, at the length asked for, or in full.
        const bool last_step = step.y1[4] >= run.s_end;
        const bool sampled = points && run.step_m > 0;
        if (edge || sampled || last_step) step.prepare_dense();
        double until = 1;
        RayEnd end = RayEnd::left_green;
        bool left = false;
        if (edge)
            if (const double theta = edge->leaves(step); theta <= 1) {
                until = theta;
                left = true;
            }
        const auto theta_of = [&](double s) {
            double lo = 0, hi = 1, theta = std::clamp((s - step.y0[4]) / (step.y1[4] - step.y0[4]), 0.0, 1.0);
            for (int k = 0; k < 40; ++k) {
                const State y = step.at(theta);
                const double miss = y[4] - s;
                if (std::abs(miss) < 1e-12) break;
                (miss < 0 ? lo : hi) = theta;
                double trial = theta - miss / (step.h * norm(velocity(y)));
                if (!(trial > lo && trial < hi)) trial = 0.5 * (lo + hi);
                theta = trial;
            }
            return theta;
        };
        const double s_stop = left ? step.at(until)[4] : step.y1[4];
        if (sampled)
            while (double(next) * run.step_m <= std::min(s_stop, run.s_end)) {
                const double theta = theta_of(double(next) * run.step_m);
                points->push_back(point(step.at(theta), t + theta * step.h));
                ++next;
            }
        if (last_step && run.s_end <= s_stop) {
            // By a step of its own to the length asked for, so that the end is as exact as a step.
            double theta = theta_of(run.s_end);
            BallMotion::Solver part;
            part.y0 = step.y0;
            part.k1 = step.k1;
            for (int k = 0; k < 3; ++k) {
                part.step(motion, theta * step.h, 4);
                const double miss = part.y1[4] - run.s_end;
                if (std::abs(miss) < 1e-13) break;
                theta -= miss / (step.h * norm(velocity(part.y1)));
            }
            return finish(part.y1, t + theta * step.h, end, true);
        }
        if (left) return finish(step.at(until), t + until * step.h, end, false);
        t += step.h;
        motion.jet = jet1;
        motion.rate = rate1;
        step.advance();
    }
    return finish(step.y0, t, RayEnd::no_putt, false);
}

}  // namespace brae
