// The equation of motion in the lanes of vector registers; read once for every vector target, see ground_lanes.h.
#if defined(BRAE_MOTION_LANES) == defined(HWY_TARGET_TOGGLE)
#ifdef BRAE_MOTION_LANES
#undef BRAE_MOTION_LANES
#else
#define BRAE_MOTION_LANES
#endif

#include "core/base/constants.h"
#include "core/terrain/ground_lanes.h"

HWY_BEFORE_NAMESPACE();
namespace brae::HWY_NAMESPACE {

// Horizontal acceleration as roll_rate() has it (docs/physics.md), the squared speed along the surface, and what is
// left of the press on the ground: at 0 and under the ball flies.
template <class D>
struct PushLanes { hn::Vec<D> ax, ay, speed3_squared, press; };

template <class D, class Surface, class V = hn::Vec<D>>
HWY_INLINE void push_lanes(const Surface& surface, double level_decel, V x, V y, V p, V q, PushLanes<D>& out) {
    const D d;
    const V one = hn::Set(d, 1);
    SlopeLanes<D> h;
    surface.template slopes<false>(x, y, h);
    const V iw2 = one / (one + h.x * h.x + h.y * h.y), iw = hn::Sqrt(iw2);
    const V bend = (h.xx * p + h.xy * q) * p + (h.xy * p + h.yy * q) * q;
    const V climb = h.x * p + h.y * q, s2 = p * p + q * q + climb * climb;
    const V press = hn::Set(d, kGravity) + bend;
    const V g = hn::Neg((hn::Set(d, kRollFactor * kGravity) + bend) * iw2);
    const V r = hn::Set(d, level_decel / kGravity) * iw * press / hn::Sqrt(s2);
    out.ax = g * h.x - r * p;
    out.ay = g * h.y - r * q;
    out.speed3_squared = s2;
    out.press = press;
}

// Stages of Dormand and Prince's pair 5(4), coefficients as in dormand_prince.h. `rate(y, dy)` is called six times;
// k[0] holds the derivative at y on entry, k[6] that at the result on return. Gives the largest error of the first
// kControlled components; a part that is no number makes the whole so.
template <class D, int kParts, int kControlled, class Rate, class V = hn::Vec<D>>
HWY_INLINE V dormand_prince_lanes(const Rate& rate, V size, const V* y, V* y1, V (*k)[kParts]) {
    const D d;
    const auto c = [&](double x) HWY_ATTR { return hn::Set(d, x); };
    V stage[kParts];
    for (int i = 0; i < kParts; ++i) stage[i] = y[i] + size * (c(1.0 / 5) * k[0][i]);
    rate(stage, k[1]);
    for (int i = 0; i < kParts; ++i) stage[i] = y[i] + size * (c(3.0 / 40) * k[0][i] + c(9.0 / 40) * k[1][i]);
    rate(stage, k[2]);
    for (int i = 0; i < kParts; ++i)
        stage[i] = y[i] + size * (c(44.0 / 45) * k[0][i] - c(56.0 / 15) * k[1][i] + c(32.0 / 9) * k[2][i]);
    rate(stage, k[3]);
    for (int i = 0; i < kParts; ++i)
        stage[i] = y[i] + size * (c(19372.0 / 6561) * k[0][i] - c(25360.0 / 2187) * k[1][i] + c(64448.0 / 6561) * k[2][i] -
                                  c(212.0 / 729) * k[3][i]);
    rate(stage, k[4]);
    for (int i = 0; i < kParts; ++i)
        stage[i] = y[i] + size * (c(9017.0 / 3168) * k[0][i] - c(355.0 / 33) * k[1][i] + c(46732.0 / 5247) * k[2][i] +
                                  c(49.0 / 176) * k[3][i] - c(5103.0 / 18656) * k[4][i]);
    rate(stage, k[5]);
    for (int i = 0; i < kParts; ++i)
        y1[i] = y[i] + size * (c(35.0 / 384) * k[0][i] + c(500.0 / 1113) * k[2][i] + c(125.0 / 192) * k[3][i] -
                               c(2187.0 / 6784) * k[4][i] + c(11.0 / 84) * k[5][i]);
    rate(y1, k[6]);
    V error = hn::Zero(d);
    for (int i = 0; i < kControlled; ++i) {
        const V e = hn::Abs(size * (c(71.0 / 57600) * k[0][i] - c(71.0 / 16695) * k[2][i] + c(71.0 / 1920) * k[3][i] -
                                    c(17253.0 / 339200) * k[4][i] + c(22.0 / 525) * k[5][i] - c(1.0 / 40) * k[6][i]));
        error = hn::IfThenElse(hn::Lt(e, error), error, e + hn::Zero(d) * error);
    }
    return error;
}

// Factor on the step without a power function: the fourth root when shrinking, the eighth when growing.
template <class D, class V = hn::Vec<D>>
HWY_INLINE V step_factor_lanes(D d, V ratio) {
    const V least = hn::Set(d, 1e-6), tenth = hn::Set(d, 0.1);
    const V floored = hn::IfThenElse(hn::Ge(ratio, least), ratio, least);
    const V root4 = hn::Sqrt(hn::Sqrt(floored)), root8 = hn::Sqrt(root4);
    const V factor = hn::Set(d, 0.9) / hn::IfThenElse(hn::Le(ratio, hn::Set(d, 1)), root8, root4);
    const V bounded = hn::IfThenElse(hn::Ge(factor, tenth), factor, tenth);
    return hn::IfThenElse(hn::Le(ratio, hn::Set(d, 1e12)), bounded, tenth);
}

}  // namespace brae::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#endif
