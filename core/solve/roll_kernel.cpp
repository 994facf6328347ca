// Compiled once for every vector target by Highway's foreach_target; see ground_lanes.h for what that asks.
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "core/solve/roll_kernel.cpp"
#include <hwy/foreach_target.h>  // must stand before highway.h
#include <algorithm>
#include <hwy/highway.h>

#include "core/roll/motion_lanes.h"
#include "core/roll/plane_motion.h"
#include "core/solve/roll_kernel.h"

HWY_BEFORE_NAMESPACE();
namespace brae::HWY_NAMESPACE {

constexpr double kRollFirstStep = 0.1;     // s
constexpr double kRollLeastStep = 1e-9;    // s
constexpr int kRollMostTries = 20000;
constexpr int kRollParts = 5;              // position, velocity, length

template <class Surface>
std::size_t roll_all(const Surface& surface, const RollLaneTask& task, const RollLaneState* starts, const double* inside_until,
                     std::size_t count, RollLaneResult* results) {
    using D = hn::ScalableTag<double>;
    using V = hn::Vec<D>;
    const D d;
    constexpr std::size_t kWidth = HWY_MAX_BYTES / 8;
    const std::size_t width = hn::Lanes(d);
    const auto splat = [&](double x) HWY_ATTR { return hn::Set(d, x); };
    const V one = splat(1), zero = hn::Zero(d);

    V speed3_squared = one, least = one;
    const auto rate = [&](const V* y, V* dy) HWY_ATTR {
        PushLanes<D> push;
        push_lanes(surface, task.level_decel, y[0], y[1], y[2], y[3], push);
        dy[0] = y[2];
        dy[1] = y[3];
        dy[2] = push.ax;
        dy[3] = push.ay;
        dy[4] = hn::Sqrt(y[2] * y[2] + y[3] * y[3]);
        speed3_squared = push.speed3_squared;
        least = hn::IfThenElse(hn::Lt(push.press, least), push.press, least);
    };

    // What each lane holds, as arrays where balls come and go and as vectors between.
    HWY_ALIGN double now[kRollParts][kWidth] = {}, before[kRollParts][kWidth] = {}, first[kRollParts][kWidth] = {};
    HWY_ALIGN double time[kWidth] = {}, time_before[kWidth] = {}, step[kWidth] = {}, until[kWidth] = {}, tries[kWidth] = {}, live[kWidth] = {}, flags[3][kWidth] = {};
    std::size_t ball[kWidth] = {};
    std::size_t next = 0, evaluations = 0, running = 0;
    V y[kRollParts], y1[kRollParts], k[7][kRollParts];
    std::fill(step, step + kWidth, kRollFirstStep);
    const auto take_next = [&](std::size_t lane) {
        live[lane] = 0;
        if (next == count) return;
        const RollLaneState& from = starts[next];
        const double values[kRollParts] = {from.p.x, from.p.y, from.v.x, from.v.y, from.s};
        for (int c = 0; c < kRollParts; ++c) now[c][lane] = values[c];
        time[lane] = from.t;
        step[lane] = kRollFirstStep;
        until[lane] = inside_until[next];
        tries[lane] = 0;
        live[lane] = 1;
        ball[lane] = next++;
        ++running;
    };
    const auto load = [&]() HWY_ATTR {
        for (int c = 0; c < kRollParts; ++c) y[c] = hn::Load(d, now[c]);
    };
    // Lanes that hold nothing yet repeat the first ball, so that all are numbers.
    for (std::size_t lane = 0; lane < width; ++lane) {
        take_next(lane);
        if (live[lane] == 0)
            for (int c = 0; c < kRollParts; ++c) now[c][lane] = now[c][0];
    }
    if (running == 0) return 0;
    load();
    rate(y, k[0]);
    V t = hn::Load(d, time), h = hn::Load(d, step), safe = hn::Load(d, until), tried = zero;
    auto alive = hn::Gt(hn::Load(d, live), zero);

    while (running > 0) {
        // Short of rest, so that no step looks beyond it.
        const V braking = hn::Neg(y[2] * k[0][2] + y[3] * k[0][3]), v2 = y[2] * y[2] + y[3] * y[3];
        const V to_rest = splat(0.9) * v2 / braking;
        const auto shortened = hn::And(hn::Gt(braking, zero), hn::Lt(to_rest, h));
        const V size = hn::IfThenElse(shortened, to_rest, h);
        least = one;
        const V ratio = dormand_prince_lanes<D, kRollParts, 4>(rate, size, y, y1, k) * splat(1 / task.tolerance);
        evaluations += 6 * running;
        const auto good = hn::And(alive, hn::Le(ratio, one));
        const V grown = size * step_factor_lanes(d, ratio);
        h = hn::IfThenElse(hn::And(hn::And(shortened, good), hn::Gt(h, grown)), h, grown);
        tried = tried + one;

        // What may end a ball: it is slow; it has come farther than is known to be inside; anything else.
        const V t1 = t + size;
        const auto slow = hn::And(good, hn::Le(speed3_squared, splat(kTangentSpeed * kTangentSpeed)));
        const auto far = hn::And(good, hn::Gt(y1[4], safe));
        const auto odd = hn::Or(hn::And(good, hn::Or(hn::Le(least, zero), hn::Ge(t1, splat(task.time_limit_s)))),
                                hn::And(alive, hn::Or(hn::Lt(h, splat(kRollLeastStep)), hn::Gt(tried, splat(kRollMostTries)))));
        const bool any = !hn::AllFalse(d, hn::Or(slow, hn::Or(far, odd)));
        if (any) {
            for (int c = 0; c < kRollParts; ++c) hn::Store(y[c], d, before[c]);
            hn::Store(t, d, time_before);
        }
        for (int c = 0; c < kRollParts; ++c) {
            y[c] = hn::IfThenElse(good, y1[c], y[c]);
            k[0][c] = hn::IfThenElse(good, k[6][c], k[0][c]);
        }
        t = hn::IfThenElse(good, t1, t);
        if (!any) continue;

        hn::Store(hn::IfThenElse(slow, one, zero), d, flags[0]);
        hn::Store(hn::IfThenElse(far, one, zero), d, flags[1]);
        hn::Store(hn::IfThenElse(odd, one, zero), d, flags[2]);
        for (int c = 0; c < kRollParts; ++c) {
            hn::Store(y[c], d, now[c]);
            hn::Store(k[0][c], d, first[c]);
        }
        hn::Store(t, d, time);
        hn::Store(h, d, step);
        hn::Store(safe, d, until);
        hn::Store(tried, d, tries);
        bool fresh = false;
        for (std::size_t lane = 0; lane < width; ++lane) {
            if (live[lane] == 0 || (flags[0][lane] == 0 && flags[1][lane] == 0 && flags[2][lane] == 0)) continue;
            const auto state = [&](const double (*from)[kWidth], const double* at) {
                return RollLaneState{{from[0][lane], from[1][lane]}, {from[2][lane], from[3][lane]}, from[4][lane], at[lane]};
            };
            const RollLaneState was = state(before, time_before), is = state(now, time);
            bool short_stop = flags[2][lane] != 0;
            if (!short_stop && flags[1][lane] != 0) {
                until[lane] = task.edge->inside_until(was, is);
                short_stop = until[lane] < is.s;
            }
            if (!short_stop && flags[0][lane] == 0) continue;
            results[ball[lane]] = short_stop ? RollLaneResult{was, RollLaneEnd::stopped_short} : RollLaneResult{is, RollLaneEnd::slow};
            --running;
            take_next(lane);
            fresh = true;
        }
        safe = hn::Load(d, until);
        if (!fresh) continue;

        // New balls ask for their first derivative; the others keep theirs.
        load();
        t = hn::Load(d, time);
        h = hn::Load(d, step);
        tried = hn::Load(d, tries);
        alive = hn::Gt(hn::Load(d, live), zero);
        V k0[kRollParts];
        rate(y, k0);
        const auto is_new = hn::Eq(tried, zero);
        for (int c = 0; c < kRollParts; ++c) k[0][c] = hn::IfThenElse(is_new, k0[c], hn::Load(d, first[c]));
    }
    return evaluations + count;
}

std::size_t RollLanes(const RollLaneTask& task, const RollLaneState* starts, const double* inside_until, std::size_t count,
                      RollLaneResult* results) {
    using D = hn::ScalableTag<double>;
    return task.spline ? roll_all(SplineLanes<D>(task.spline->grid()), task, starts, inside_until, count, results)
                       : roll_all(FieldLanes<D>(*task.field), task, starts, inside_until, count, results);
}

}  // namespace brae::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE

namespace brae {

HWY_EXPORT(RollLanes);

std::size_t roll_lanes(const RollLaneTask& task, const RollLaneState* starts, const double* inside_until, std::size_t count,
                       RollLaneResult* results) {
    return HWY_DYNAMIC_DISPATCH(RollLanes)(task, starts, inside_until, count, results);
}

}  // namespace brae

#endif
