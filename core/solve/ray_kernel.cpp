// Compiled once for every vector target by Highway's foreach_target; no Eigen and no mathematical library in here, no
// fused multiply-add and no sum across lanes, so that all targets give the same bits.
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "core/solve/ray_kernel.cpp"
#include <hwy/foreach_target.h>  // must stand before highway.h
#include <hwy/highway.h>

#include "core/base/constants.h"
#include "core/solve/ray_kernel.h"
#include "core/terrain/ground_lanes.h"

HWY_BEFORE_NAMESPACE();
namespace brae::HWY_NAMESPACE {

using D = hn::ScalableTag<double>;
using V = hn::Vec<D>;
using M = hn::Mask<D>;

constexpr int kState = 2 * kRayQuantities;   // the quantities, then their derivatives by the parameter
constexpr double kAtRest = 1e-6;             // (m/s)^2; slower than 1 mm/s there is no ball
constexpr double kLeastStep = 1e-9;          // m
constexpr int kMostTries = 4000;             // between two nodes

HWY_INLINE V splat(double x) { return hn::Set(D(), x); }

// What a state's rate says of the ball besides: squared speed along the surface, and whether the ground still presses.
struct Footing { V speed3_squared, press; };

// The equation of motion of docs/physics.md backwards by horizontal length, d/ds = -(1 / |v|) d/dt, and its derivative
// by the parameter.
template <class Surface>
HWY_INLINE void rate(const Surface& surface, double level_decel, const V* y, V* dy, Footing& footing) {
    const V one = splat(1), two = splat(2);
    const V p = y[2], q = y[3], dx = y[5], dyy = y[6], dp = y[7], dq = y[8];
    SlopeLanes<D> h;
    surface.template slopes<true>(y[0], y[1], h);

    // The acceleration.
    const V w2 = one + h.x * h.x + h.y * h.y, iw2 = one / w2, iw = hn::Sqrt(iw2);
    const V bend_x = h.xx * p + h.xy * q, bend_y = h.xy * p + h.yy * q;
    const V bend = bend_x * p + bend_y * q;
    const V v2 = p * p + q * q, climb = h.x * p + h.y * q, s2 = v2 + climb * climb;
    const V is3 = one / hn::Sqrt(s2), is = one / hn::Sqrt(v2);
    const V press = splat(kGravity) + bend;
    const V g = hn::Neg((splat(kRollFactor * kGravity) + bend) * iw2);
    const V grip = splat(level_decel / kGravity) * iw * is3;
    const V r = grip * press;
    const V ax = g * h.x - r * p, ay = g * h.y - r * q;
    footing = {s2, press};

    // Its derivative along (dx, dy, dp, dq).
    const V hx_ = h.xx * dx + h.xy * dyy, hy_ = h.xy * dx + h.yy * dyy;
    const V hxx_ = h.xxx * dx + h.xxy * dyy, hxy_ = h.xxy * dx + h.xyy * dyy, hyy_ = h.xyy * dx + h.yyy * dyy;
    const V half_w2_ = h.x * hx_ + h.y * hy_;
    const V bend_ = hxx_ * p * p + two * hxy_ * p * q + hyy_ * q * q + two * (bend_x * dp + bend_y * dq);
    const V g_ = hn::Neg((bend_ + two * g * half_w2_) * iw2);
    const V vv_ = p * dp + q * dq;
    const V climb_ = hx_ * p + hy_ * q + h.x * dp + h.y * dq;
    const V r_ = grip * bend_ - r * (half_w2_ * iw2 + (vv_ + climb * climb_) * is3 * is3);
    const V ax_ = g_ * h.x + g * hx_ - r_ * p - r * dp, ay_ = g_ * h.y + g * hy_ - r_ * q - r * dq;

    // By length, backwards.
    const V n = hn::Neg(is), stretch = vv_ * is * is;
    dy[0] = n * p;
    dy[1] = n * q;
    dy[2] = n * ax;
    dy[3] = n * ay;
    dy[4] = is;
    dy[5] = n * (dp - p * stretch);
    dy[6] = n * (dq - q * stretch);
    dy[7] = n * (ax_ - ax * stretch);
    dy[8] = n * (ay_ - ay * stretch);
    dy[9] = n * stretch;
}

// One vector of rays from the hole to their ends.
template <class Surface>
std::size_t trace_lanes(const Surface& surface, const RayTask& task, const RayOrigin* origins, std::size_t lanes, RayNode* const* out, RayLife* lives) {
    const D d;
    const std::size_t width = hn::Lanes(d);
    const V zero = hn::Zero(d), one = splat(1);
    HWY_ALIGN double buffer[2 * kState][HWY_MAX_BYTES / 8];

    // Lanes without a ray repeat the first.
    V y[kState], y1[kState], k1[kState], k2[kState], k3[kState], k4[kState], k5[kState], k6[kState], k7[kState];
    for (int c = 0; c < kState; ++c) {
        for (std::size_t lane = 0; lane < width; ++lane) {
            buffer[0][lane] = origins[lane < lanes ? lane : 0].state[c];
        }
        y[c] = hn::Load(d, buffer[0]);
    }
    Footing footing, footing1;
    rate(surface, task.level_decel, y, k1, footing);
    V s = zero, h = splat(task.node_count > 1 ? task.nodes[1] : 1.0);
    M alive = hn::FirstN(d, lanes);
    std::size_t steps = 0;
    const auto note_end = [&](M which, RayEnd end) HWY_ATTR {
        hn::Store(hn::IfThenElse(which, one, zero), d, buffer[0]);
        for (std::size_t lane = 0; lane < lanes; ++lane)
            if (buffer[0][lane] != 0) lives[lane].end = end;
    };
    for (std::size_t lane = 0; lane < lanes; ++lane) lives[lane] = {};

    for (int node = 0; node < task.node_count; ++node) {
        // Every lane steps by itself until it stands on the node.
        const V target = splat(task.nodes[node]);
        M need = hn::And(alive, hn::Lt(s, target));
        for (int tries = 0; !hn::AllFalse(d, need); ++tries) {
            ++steps;
            const V left = target - s;
            const M last = hn::Ge(h, left);
            const V size = hn::IfThenElse(last, left, h);
            V stage[kState];
            Footing mid;
            V least = footing.press;
            const auto note_press = [&](V press) HWY_ATTR { least = hn::IfThenElse(hn::Lt(press, least), press, least); };
            for (int c = 0; c < kState; ++c) stage[c] = y[c] + size * (splat(1.0 / 5) * k1[c]);
            rate(surface, task.level_decel, stage, k2, mid);
            note_press(mid.press);
            for (int c = 0; c < kState; ++c) stage[c] = y[c] + size * (splat(3.0 / 40) * k1[c] + splat(9.0 / 40) * k2[c]);
            rate(surface, task.level_decel, stage, k3, mid);
            note_press(mid.press);
            for (int c = 0; c < kState; ++c)
                stage[c] = y[c] + size * (splat(44.0 / 45) * k1[c] - splat(56.0 / 15) * k2[c] + splat(32.0 / 9) * k3[c]);
            rate(surface, task.level_decel, stage, k4, mid);
            note_press(mid.press);
            for (int c = 0; c < kState; ++c)
                stage[c] = y[c] + size * (splat(19372.0 / 6561) * k1[c] - splat(25360.0 / 2187) * k2[c] +
                                          splat(64448.0 / 6561) * k3[c] - splat(212.0 / 729) * k4[c]);
            rate(surface, task.level_decel, stage, k5, mid);
            note_press(mid.press);
            for (int c = 0; c < kState; ++c)
                stage[c] = y[c] + size * (splat(9017.0 / 3168) * k1[c] - splat(355.0 / 33) * k2[c] + splat(46732.0 / 5247) * k3[c] +
                                          splat(49.0 / 176) * k4[c] - splat(5103.0 / 18656) * k5[c]);
            rate(surface, task.level_decel, stage, k6, mid);
            note_press(mid.press);
            for (int c = 0; c < kState; ++c)
                y1[c] = y[c] + size * (splat(35.0 / 384) * k1[c] + splat(500.0 / 1113) * k3[c] + splat(125.0 / 192) * k4[c] -
                                       splat(2187.0 / 6784) * k5[c] + splat(11.0 / 84) * k6[c]);
            rate(surface, task.level_decel, y1, k7, footing1);
            note_press(footing1.press);
            V error = zero;
            for (int c = 0; c < 4; ++c) {
                const V e = size * (splat(71.0 / 57600) * k1[c] - splat(71.0 / 16695) * k3[c] + splat(71.0 / 1920) * k4[c] -
                                    splat(17253.0 / 339200) * k5[c] + splat(22.0 / 525) * k6[c] - splat(1.0 / 40) * k7[c]);
                // A part that is no number makes the whole so.
                error = hn::IfThenElse(hn::Lt(hn::Abs(e), error), error, hn::Abs(e) + zero * error);
            }

            // Step control without a power function: the fourth root when shrinking, the eighth when growing.
            const V ratio = error * splat(1 / task.tolerance);
            const M good = hn::Le(ratio, one), ok = hn::And(need, good);
            const V floor_ratio = hn::IfThenElse(hn::Ge(ratio, splat(1e-6)), ratio, splat(1e-6));
            const V root4 = hn::Sqrt(hn::Sqrt(floor_ratio)), root8 = hn::Sqrt(root4);
            V factor = splat(0.9) / hn::IfThenElse(good, root8, root4);
            factor = hn::IfThenElse(hn::Ge(factor, splat(0.1)), factor, splat(0.1));
            factor = hn::IfThenElse(hn::Le(ratio, splat(1e12)), factor, splat(0.1));
            const V grown = size * factor;
            const V next = hn::IfThenElse(hn::And(last, good), hn::IfThenElse(hn::Ge(h, grown), h, grown), grown);
            h = hn::IfThenElse(need, next, h);
            for (int c = 0; c < kState; ++c) {
                y[c] = hn::IfThenElse(ok, y1[c], y[c]);
                k1[c] = hn::IfThenElse(ok, k7[c], k1[c]);
            }
            footing.speed3_squared = hn::IfThenElse(ok, footing1.speed3_squared, footing.speed3_squared);
            footing.press = hn::IfThenElse(ok, footing1.press, footing.press);
            s = hn::IfThenElse(ok, hn::IfThenElse(last, target, s + size), s);

            // Where the speed runs out or nothing works any more the ray ends before the node.
            const M slow = hn::Or(hn::Lt(footing.speed3_squared, splat(kAtRest)), hn::Lt(h, splat(kLeastStep)));
            const M lost = hn::And(need, tries < kMostTries ? slow : need);
            const M flies = hn::And(ok, hn::Le(least, zero));
            if (!hn::AllFalse(d, hn::Or(lost, flies))) {
                note_end(lost, RayEnd::no_putt);
                note_end(flies, RayEnd::airborne);
                alive = hn::AndNot(hn::Or(lost, flies), alive);
            }
            need = hn::And(alive, hn::Lt(s, target));
        }
        if (hn::AllFalse(d, alive)) break;

        // Written for the lanes that are still under way.
        for (int c = 0; c < kState; ++c) {
            hn::Store(y[c], d, buffer[c]);
            hn::Store(k1[c], d, buffer[kState + c]);
        }
        HWY_ALIGN double live[HWY_MAX_BYTES / 8];
        hn::Store(hn::IfThenElse(alive, one, zero), d, live);
        for (std::size_t lane = 0; lane < lanes; ++lane) {
            if (live[lane] == 0) continue;
            RayNode& to = out[lane][node];
            for (int c = 0; c < kRayQuantities; ++c) {
                to.value[c] = buffer[c][lane];
                to.by_parameter[c] = buffer[kRayQuantities + c][lane];
                to.by_s[c] = buffer[kState + c][lane];
                to.by_both[c] = buffer[kState + kRayQuantities + c][lane];
            }
            lives[lane].nodes = node + 1;
        }

        // Outside the box or too fast: this node was the last.
        const M inside = hn::And(hn::And(hn::Ge(y[0], splat(task.west)), hn::Le(y[0], splat(task.east))),
                                 hn::And(hn::Ge(y[1], splat(task.south)), hn::Le(y[1], splat(task.north))));
        const M fast = hn::And(alive, hn::Gt(footing.speed3_squared, splat(task.fastest * task.fastest)));
        if (!hn::AllFalse(d, fast)) note_end(fast, RayEnd::too_fast);
        alive = hn::AndNot(fast, hn::And(alive, inside));
        if (hn::AllFalse(d, alive)) break;
    }
    return steps;
}

std::size_t TraceRays(const RayTask& task, const RayOrigin* origins, std::size_t count, RayNode* const* out, RayLife* lives) {
    std::size_t steps = 0;
    const std::size_t width = hn::Lanes(D());
    for (std::size_t i = 0; i < count; i += width) {
        const std::size_t lanes = count - i < width ? count - i : width;
        steps += task.spline ? trace_lanes(SplineLanes<D>(task.spline->grid()), task, origins + i, lanes, out + i, lives + i)
                             : trace_lanes(FieldLanes<D>(*task.field), task, origins + i, lanes, out + i, lives + i);
    }
    return steps;
}

}  // namespace brae::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE

namespace brae {

HWY_EXPORT(TraceRays);

std::size_t trace_ray_batch(const RayTask& task, const RayOrigin* origins, std::size_t count, RayNode* const* out,
                            RayLife* lives) {
    return HWY_DYNAMIC_DISPATCH(TraceRays)(task, origins, count, out, lives);
}

std::vector<std::int64_t> ray_kernel_targets() { return hwy::SupportedAndGeneratedTargets(); }

std::string ray_kernel_target_name(std::int64_t target) { return hwy::TargetName(target); }

void force_ray_kernel_target(std::int64_t target) {
    hwy::SetSupportedTargetsForTest(target);
    hwy::GetChosenTarget().DeInit();
}

}  // namespace brae

#endif
