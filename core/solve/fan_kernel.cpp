// Compiled once for every vector target by Highway's foreach_target; see ground_lanes.h for what that asks.
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "core/solve/fan_kernel.cpp"
#include <hwy/foreach_target.h>  // must stand before highway.h
#include <hwy/highway.h>

#include "core/roll/motion_lanes.h"
#include "core/solve/fan_kernel.h"

HWY_BEFORE_NAMESPACE();
namespace brae::HWY_NAMESPACE {

constexpr double kFanAtRest = 1e-6;   // (m/s)^2
constexpr double kFanLeastStep = 1e-9;
constexpr int kFanMostTries = 20000;

// The lanes `from` and on of the fan.
template <class Surface>
bool trace_part(const Surface& surface, const FanTask& task, Fan& fan, int from) {
    using D = hn::CappedTag<double, kFanRays>;
    using V = hn::Vec<D>;
    const D d;
    const auto splat = [&](double x) HWY_ATTR { return hn::Set(d, x); };
    const V one = splat(1), end = splat(task.s_end);
    constexpr int kParts = kRayQuantities;

    // By length, backwards: d/ds = -(1 / |v|) d/dt. The least press of the stages tells whether the ball flies.
    V speed3_squared = one, least = one;
    const auto rate = [&](const V* y, V* dy) HWY_ATTR {
        PushLanes<D> push;
        push_lanes(surface, task.level_decel, y[0], y[1], y[2], y[3], push);
        const V is = one / hn::Sqrt(y[2] * y[2] + y[3] * y[3]), n = hn::Neg(is);
        dy[0] = n * y[2];
        dy[1] = n * y[3];
        dy[2] = n * push.ax;
        dy[3] = n * push.ay;
        dy[4] = is;
        speed3_squared = push.speed3_squared;
        least = hn::IfThenElse(hn::Lt(push.press, least), push.press, least);
    };
    V y[kParts], y1[kParts], k[7][kParts];
    for (int i = 0; i < kParts; ++i) y[i] = hn::LoadU(d, fan.value[i] + from);
    rate(y, k[0]);
    V s = hn::Zero(d), h = splat(task.first_step);
    auto need = hn::Lt(s, end);
    for (int tries = 0; !hn::AllFalse(d, need); ++tries) {
        const V left = end - s;
        const auto last = hn::Ge(h, left);
        const V size = hn::IfThenElse(last, left, h);
        least = one;
        const V ratio = dormand_prince_lanes<D, kParts, 4>(rate, size, y, y1, k) * splat(1 / task.tolerance);
        const auto good = hn::Le(ratio, one), ok = hn::And(need, good);
        const V grown = size * step_factor_lanes(d, ratio);
        h = hn::IfThenElse(need, grown, h);
        for (int i = 0; i < kParts; ++i) {
            y[i] = hn::IfThenElse(ok, y1[i], y[i]);
            k[0][i] = hn::IfThenElse(ok, k[6][i], k[0][i]);
        }
        s = hn::IfThenElse(ok, hn::IfThenElse(last, end, s + size), s);
        // One ray that cannot go on ends the fan.
        const auto slow = hn::And(ok, hn::Lt(speed3_squared, splat(kFanAtRest)));
        const auto stuck = hn::And(need, hn::Lt(h, splat(kFanLeastStep)));
        const auto flies = hn::And(ok, hn::Le(least, hn::Zero(d)));
        if (tries >= kFanMostTries || !hn::AllFalse(d, hn::Or(slow, hn::Or(stuck, flies)))) return false;
        need = hn::Lt(s, end);
    }
    for (int i = 0; i < kParts; ++i) {
        hn::StoreU(y[i], d, fan.value[i] + from);
        hn::StoreU(k[0][i], d, fan.by_s[i] + from);
    }
    return true;
}

bool TraceFan(const FanTask& task, Fan& fan) {
    using D = hn::CappedTag<double, kFanRays>;
    for (int from = 0; from < kFanRays; from += static_cast<int>(hn::MaxLanes(D()))) {
        const bool done = task.spline ? trace_part(SplineLanes<D>(task.spline->grid()), task, fan, from)
                                      : trace_part(FieldLanes<D>(*task.field), task, fan, from);
        if (!done) return false;
    }
    return true;
}

}  // namespace brae::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE

namespace brae {

HWY_EXPORT(TraceFan);

bool trace_fan(const FanTask& task, Fan& fan) { return HWY_DYNAMIC_DISPATCH(TraceFan)(task, fan); }

}  // namespace brae

#endif
