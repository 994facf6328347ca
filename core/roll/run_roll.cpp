#include "core/roll/run_roll.h"

#include "core/base/constants.h"
#include "core/roll/ball_motion.h"
#include "core/roll/capture.h"
#include "core/roll/edge_watch.h"
#include "core/roll/plane_motion.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace brae {

namespace {

using State = BallMotion::State;

constexpr int kMostSteps = 20000;          // more than any putt needs; a bound, so that no roll runs for ever
constexpr double kCreeping = 1e-3;         // m/s; below it the tangent plane serves whatever the way that is left
constexpr double kTurningSpeed = 1e-6;     // m/s; below it a ball that the slope does not hold turns downhill
constexpr double kShortStop = 5e-4;        // m; the tangent plane serves for no longer way than this
constexpr double kPassRange = 1.0;         // m; passes are reported within this distance of the hole

// Something that ends the roll within a step, as a fraction of it; 2 means not in this step.
struct Event { double theta = 2; RollEnd end = RollEnd::rolling; };

class Roll {
public:
    Roll(const HeightField& surface, const Outline& outline, RollState start, double level_decel, const RollRun& run,
         std::vector<RollSample>* samples)
        : surface_(surface), motion_{surface, level_decel, 1, {}, {}, kNoNormal}, knots_(surface),
          edge_(outline, start.p), run_(run), samples_(run.sample_step_m > 0 ? samples : nullptr) {
        step_.y0 = {start.p.x, start.p.y, start.v.x, start.v.y, 0};
        motion_.resistance = run.resistance;
    }

    RollOutcome go() {
        motion_(step_.y0, step_.k1);
        add_sample(step_.y0, 0);
        if (run_.hole) note_pass(step_.y0, 0, norm(velocity(step_.y0)) > 0);
        double h = 0.02;
        for (out_.steps = 0; out_.steps < kMostSteps; ++out_.steps) {
            if (motion_.rate.normal <= 0) return finish(step_.y0, time_, RollEnd::airborne);
            if (motion_.rate.speed3 <= kTangentSpeed && settles()) return out_;
            if (time_ >= run_.time_limit_s) return finish(step_.y0, time_, RollEnd::rolling);
            if (take_step(h)) return out_;
        }
        return finish(step_.y0, time_, RollEnd::rolling);
    }

private:
    static constexpr double kNoNormal = std::numeric_limits<double>::infinity();

    // The end of a slow ball: at rest by closed form where the slope holds it; turned downhill where it does not.
    bool settles() {
        const Vec2 p = position(step_.y0), v = velocity(step_.y0);
        const TangentStop stop = stop_on_tangent_plane(motion_.jet, v, motion_.decel_at(p, v));
        const double speed = motion_.rate.speed3;
        if (stop.e < 1 && (norm(stop.displacement) < kShortStop || speed < kCreeping)) {
            const Vec2 end = p + stop.displacement;
            State rest{end.x, end.y, 0, 0, step_.y0[4] + norm(stop.displacement)};
            last_direction_ = speed > 0 ? unit(v) : last_direction_;
            if (run_.hole) note_pass(rest, time_ + stop.time_s, true);
            const bool in = run_.hole && !run_.covered && captured(distance(end, *run_.hole), 0);
            finish(rest, time_ + stop.time_s, in ? RollEnd::holed : RollEnd::stopped);
            return true;
        }
        if (stop.e >= 1 && speed < kTurningSpeed && dot(v, motion_.rate.a) <= 0) {
            // Too slow to tell from rest, and gravity wins: it goes on straight down from here, no faster than before.
            const Vec2 down{-motion_.jet.hx, -motion_.jet.hy};
            const Vec2 turned = horizontal_velocity(motion_.jet, unit(down), std::max(speed, 1e-9));
            step_.y0[2] = turned.x;
            step_.y0[3] = turned.y;
            motion_(step_.y0, step_.k1);
        }
        return false;
    }

    // One accepted step with its events; true when the roll has ended.
    bool take_step(double& h) {
        const Vec2 v = velocity(step_.y0), a = motion_.rate.a;
        // Short of rest, onto the next knot line, within the time limit.
        double size = h;
        const double braking = -dot(v, a), v2 = dot(v, v);
        if (braking > 0) size = std::min(size, 0.9 * v2 / braking);
        if (run_.tolerance < 1e-5) size = knots_.limit(position(step_.y0), v, a, size);
        size = std::min(size, run_.time_limit_s - time_);
        const bool shortened = size < h;

        motion_.lowest_normal = kNoNormal;
        const SurfaceJet jet0 = motion_.jet;
        const RollRate rate0 = motion_.rate;
        const double ratio = step_.step(motion_, size, 4) / run_.tolerance;
        if (!(ratio <= 1)) {
            if (!std::isfinite(ratio) || size < 1e-12) {
                if (size < 1e-12) {
                    finish(step_.y0, time_, RollEnd::rolling);
                    return true;
                }
                h = size * 0.1;
            } else {
                h = size * control_.factor(ratio);
            }
            motion_.jet = jet0;
            motion_.rate = rate0;
            return false;
        }
        const double grown = size * control_.factor(ratio);
        h = shortened ? std::max(h, grown) : grown;
        step_.prepare_dense();

        // The first thing that happens in the step ends it.
        const SurfaceJet jet1 = motion_.jet;
        const RollRate rate1 = motion_.rate;
        Event first;
        if (const double t = edge_.leaves(step_); t < first.theta) first = {t, RollEnd::left_green};
        if (motion_.lowest_normal <= 0)
            if (const double t = lifts_off(); t < first.theta) first = {t, RollEnd::airborne};
        if (run_.hole) look_at_hole(first);
        const bool ended = first.theta <= 1;
        State last = step_.y1;
        double t_last = time_ + step_.h;
        if (ended) {
            last = event_state_ ? *event_state_ : exact(first.theta);
            t_last = time_ + first.theta * step_.h;
        }
        add_dense_samples(ended ? first.theta : 1.0);
        if (ended) {
            finish(last, t_last, first.end);
            return true;
        }
        time_ = t_last;
        if (rate1.speed3 > 0) last_direction_ = unit(velocity(step_.y1));
        add_sample(step_.y1, time_, &rate1.speed3, &jet1.h);
        motion_.jet = jet1;
        motion_.rate = rate1;
        step_.advance();
        return false;
    }

    // The state at a fraction of the step by a step of its own, so that an event is as exact as a step.
    State exact(double theta) {
        BallMotion::Solver part;
        part.y0 = step_.y0;
        part.k1 = step_.k1;
        part.step(motion_, theta * step_.h, 4);
        return part.y1;
    }

    double lifts_off() {
        const auto pressed = [&](double theta) {
            State ignored;
            motion_(step_.at(theta), ignored);
            return motion_.rate.normal > 0;
        };
        double lo = 0;
        for (int i = 1; i <= 8; ++i) {
            double hi = i / 8.0;
            if (pressed(hi)) {
                lo = hi;
                continue;
            }
            for (int k = 0; k < 50; ++k) {
                const double mid = 0.5 * (lo + hi);
                (pressed(mid) ? lo : hi) = mid;
            }
            return hi;
        }
        return 2;
    }

    // d/dt of half the squared distance to the hole.
    double opening(const State& y) const { return dot(position(y) - *run_.hole, velocity(y)); }

    // Closest approaches in the step: noted, and the first capture or wanted end kept as event.
    void look_at_hole(Event& first) {
        event_state_.reset();
        const double near = distance(position(step_.y0), *run_.hole) - (step_.y1[4] - step_.y0[4]);
        if (near > kPassRange) return;
        constexpr int kParts = 4;
        double before = opening(step_.y0);
        for (int i = 1; i <= kParts; ++i) {
            const double hi_theta = double(i) / kParts;
            const double after = opening(i == kParts ? step_.y1 : step_.at(hi_theta));
            if (before < 0 && after >= 0) {
                // Halve and chord on the polynomial, then Newton with exact states.
                double lo = double(i - 1) / kParts, hi = hi_theta;
                for (int k = 0; k < 40 && hi - lo > 1e-9; ++k) {
                    const double mid = 0.5 * (lo + hi);
                    (opening(step_.at(mid)) < 0 ? lo : hi) = mid;
                }
                double theta = 0.5 * (lo + hi);
                State y = exact(theta);
                for (int k = 0; k < 2; ++k) {
                    const Vec2 v = velocity(y);
                    const double slope = dot(v, v) + dot(position(y) - *run_.hole, motion_.rate.a);
                    if (!(slope > 0)) break;
                    theta = std::clamp(theta - opening(y) / (slope * step_.h), 0.0, 1.0);
                    y = exact(theta);
                }
                if (theta > first.theta) return;
                const double offset = distance(position(y), *run_.hole), speed = motion_.rate.speed3;
                note_pass(y, time_ + theta * step_.h, true);
                const HoleApproach met = approach(y, offset, speed);
                const Capture verdict = run_.covered ? Capture::misses : capture(run_.capture, met);
                const bool in = verdict == Capture::drops;
                if (out_.pass && out_.pass->t == time_ + theta * step_.h) {
                    out_.pass->uncertain = verdict == Capture::uncertain;
                    if (offset < kHoleRadius && speed > 0) out_.pass->approach = met;
                }
                const bool over = offset >= kHoleRadius || speed * speed > 8 * motion_.level_decel * kHoleRadius;
                if (in || (offset < run_.end_at_pass_m && (run_.covered || over))) {
                    first = {theta, in ? RollEnd::holed : RollEnd::rolling};
                    event_state_ = y;
                    return;
                }
            }
            before = after;
        }
    }

    // A pass as the hole sees it, on the plane that touches the green at its centre.
    HoleApproach approach(const State& y, double offset, double speed) const {
        const Vec2 v = velocity(y), to_hole = *run_.hole - position(y);
        const SurfaceJet jet = surface_.jet(run_.hole->x, run_.hole->y);
        const Vec2 down{-jet.hx, -jet.hy};
        return {cross(v, to_hole) < 0 ? -offset : offset, speed, norm(down), std::atan2(cross(down, v), dot(down, v)),
                motion_.level_decel};
    }

    // Keeps the closest of all approaches. At rest the direction is the last one.
    void note_pass(const State& y, double t, bool moving) {
        const Vec2 to_hole = *run_.hole - position(y);
        const double d = norm(to_hole);
        if (!moving || d > kPassRange || (out_.pass && d >= std::abs(out_.pass->offset_m))) return;
        const Vec2 v = velocity(y);
        const Vec2 direction = norm(v) > 0 ? unit(v) : last_direction_;
        const SurfaceJet jet = surface_.jet(y[0], y[1]);
        out_.pass = HolePass{cross(direction, to_hole) < 0 ? -d : d, surface_speed(jet, v), t, direction, false, std::nullopt};
    }

    RollOutcome finish(const State& y, double t, RollEnd end) {
        out_.end = end;
        out_.at = {position(y), velocity(y)};
        out_.length_m = y[4];
        out_.time_s = t;
        if (run_.hole && end != RollEnd::stopped) note_pass(y, t, true);
        add_sample(y, t);
        return out_;
    }

    void add_sample(const State& y, double t, const double* speed = nullptr, const double* height = nullptr) {
        if (!samples_) return;
        SurfaceJet jet;
        if (!speed || !height) jet = surface_.jet(y[0], y[1]);
        const RollSample s{{y[0], y[1], height ? *height : jet.h}, t, speed ? *speed : surface_speed(jet, velocity(y))};
        // The end may fall on the last sample.
        if (samples_->size() > 1 && t <= samples_->back().t) samples_->back() = s;
        else samples_->push_back(s);
    }
    void add_dense_samples(double until) {
        if (!samples_) return;
        const double way = (step_.y1[4] - step_.y0[4]) * until;
        const int n = 1 + static_cast<int>(way / (0.98 * run_.sample_step_m));
        for (int i = 1; i < n; ++i) {
            const double theta = until * i / n;
            add_sample(step_.at(theta), time_ + theta * step_.h);
        }
    }

    const HeightField& surface_;
    BallMotion motion_;
    BallMotion::Solver step_;
    KnotLines knots_;
    EdgeWatch edge_;
    const RollRun& run_;
    std::vector<RollSample>* samples_;
    StepControl control_;
    RollOutcome out_;
    std::optional<State> event_state_;
    Vec2 last_direction_{1, 0};
    double time_ = 0;
};

}  // namespace

RollOutcome run_roll(const HeightField& surface, const Outline& outline, RollState start, double level_decel,
                     const RollRun& run, std::vector<RollSample>* samples) {
    return Roll(surface, outline, start, level_decel, run, samples).go();
}

}  // namespace brae
