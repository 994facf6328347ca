// The ground in the lanes of vector registers: the bicubic spline, and any other surface lane by lane. Highway's way of a header that is read once for every vector
// target: no #pragma once, and only .cpp files that are themselves compiled for several targets may include it.
// No Eigen and no mathematical library in here, no fused multiply-add, no sums across lanes: all targets give the same bits.
#if defined(BRAE_GROUND_LANES) == defined(HWY_TARGET_TOGGLE)
#ifdef BRAE_GROUND_LANES
#undef BRAE_GROUND_LANES
#else
#define BRAE_GROUND_LANES
#endif

#include "core/terrain/spline_surface.h"

#include <cstddef>
#include <cstdint>
#include <hwy/highway.h>

HWY_BEFORE_NAMESPACE();
namespace brae::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

// Derivatives of the height; the third ones only where they were asked for.
template <class D>
struct SlopeLanes { hn::Vec<D> x, y, xx, xy, yy, xxx, xxy, xyy, yyy; };

// Sixteen coefficients a lane; see cubic_weights() for the pieces.
template <class D>
class SplineLanes {
public:
    using V = hn::Vec<D>;
    explicit SplineLanes(const SplineGrid& grid) : grid_(grid) {}

    template <bool kThird>
    HWY_INLINE void slopes(V x, V y, SlopeLanes<D>& out) const {
        const D d;
        const double inverse = 1 / grid_.cell;
        const V u = (x - splat(grid_.x0)) * splat(inverse), v = (y - splat(grid_.y0)) * splat(inverse);
        const V i = cell(u, grid_.columns - 3.0), j = cell(v, grid_.rows - 3.0);
        V aw[4], ad[4], add[4], bw[4], bd[4], bdd[4];
        weights(u - i, aw, ad, add);
        weights(v - j, bw, bd, bdd);
        const hn::Rebind<std::int32_t, D> d32;
        const V one = splat(1);
        HWY_ALIGN std::int32_t index[HWY_MAX_BYTES / 8];
        hn::Store(hn::DemoteTo(d32, (j - one) * splat(grid_.columns) + (i - one)), d32, index);

        const V zero = hn::Zero(d);
        V h_y = zero, h_yy = zero, h_yyy = zero, x_ = zero, x_y = zero, x_yy = zero, xx_ = zero, xx_y = zero, xxx_ = zero;
        const double* row = grid_.coefficients.data();
        constexpr double third[4] = {-1, 3, -3, 1};
        for (int k = 0; k < 4; ++k, row += grid_.columns) {
            V c0, c1, c2, c3;
            load(row, index, c0, c1, c2, c3);
            const V h = (aw[0] * c0 + aw[1] * c1) + (aw[2] * c2 + aw[3] * c3);
            const V hx = (ad[0] * c0 + ad[1] * c1) + (ad[2] * c2 + ad[3] * c3);
            const V hxx = (add[0] * c0 + add[1] * c1) + (add[2] * c2 + add[3] * c3);
            h_y = h_y + bd[k] * h;
            h_yy = h_yy + bdd[k] * h;
            x_ = x_ + bw[k] * hx;
            x_y = x_y + bd[k] * hx;
            xx_ = xx_ + bw[k] * hxx;
            if constexpr (kThird) {
                const V hxxx = (c3 - c0) + splat(3) * (c1 - c2);
                h_yyy = h_yyy + splat(third[k]) * h;
                x_yy = x_yy + bdd[k] * hx;
                xx_y = xx_y + bd[k] * hxx;
                xxx_ = xxx_ + bw[k] * hxxx;
            }
        }
        const V i1 = splat(inverse), i2 = splat(inverse * inverse);
        out.x = x_ * i1;
        out.y = h_y * i1;
        out.xx = xx_ * i2;
        out.xy = x_y * i2;
        out.yy = h_yy * i2;
        if constexpr (kThird) {
            const V i3 = splat(inverse * inverse * inverse);
            out.xxx = xxx_ * i3;
            out.xxy = xx_y * i3;
            out.xyy = x_yy * i3;
            out.yyy = h_yyy * i3;
        }
    }

private:
    static HWY_INLINE V splat(double x) { return hn::Set(D(), x); }
    // The patch, clamped as the surface itself does; what is no number reads the first.
    static HWY_INLINE V cell(V u, double last) {
        const V f = hn::Floor(u), one = splat(1), most = splat(last);
        const V low = hn::IfThenElse(hn::Ge(f, one), f, one);
        return hn::IfThenElse(hn::Le(low, most), low, most);
    }
    static HWY_INLINE void weights(V t, V* w, V* d, V* dd) {
        const V one = splat(1), half = splat(0.5), three = splat(3), sixth = splat(1.0 / 6);
        const V s = one - t, t2 = t * t, t3 = t2 * t;
        w[0] = s * s * s * sixth;
        w[1] = (three * t3 - splat(6) * t2 + splat(4)) * sixth;
        w[2] = (three * (t2 + t - t3) + one) * sixth;
        w[3] = t3 * sixth;
        d[0] = splat(-0.5) * (s * s);
        d[1] = half * (three * t2 - splat(4) * t);
        d[2] = half * (splat(2) * t - three * t2 + one);
        d[3] = half * t2;
        dd[0] = s;
        dd[1] = three * t - splat(2);
        dd[2] = one - three * t;
        dd[3] = t;
    }

    // Four neighbours of each lane: loaded as they lie and transposed, which costs a fraction of sixteen gathers.
    static HWY_INLINE void load(const double* row, const std::int32_t* index, V& c0, V& c1, V& c2, V& c3) {
        const D d;
#if HWY_TARGET == HWY_SCALAR
        c0 = hn::Load(d, row + index[0]);
        c1 = hn::Load(d, row + index[0] + 1);
        c2 = hn::Load(d, row + index[0] + 2);
        c3 = hn::Load(d, row + index[0] + 3);
#else
        if constexpr (hn::MaxLanes(D()) == 2) {
            const V a = hn::LoadU(d, row + index[0]), b = hn::LoadU(d, row + index[0] + 2);
            const V e = hn::LoadU(d, row + index[1]), f = hn::LoadU(d, row + index[1] + 2);
            c0 = hn::InterleaveLower(d, a, e);
            c1 = hn::InterleaveUpper(d, a, e);
            c2 = hn::InterleaveLower(d, b, f);
            c3 = hn::InterleaveUpper(d, b, f);
        } else {
            const V r0 = quad(row, index, 0), r1 = quad(row, index, 1), r2 = quad(row, index, 2), r3 = quad(row, index, 3);
            const V t0 = hn::InterleaveLower(d, r0, r1), t1 = hn::InterleaveUpper(d, r0, r1);
            const V t2 = hn::InterleaveLower(d, r2, r3), t3 = hn::InterleaveUpper(d, r2, r3);
            c0 = hn::OddEvenBlocks(hn::SwapAdjacentBlocks(t2), t0);
            c1 = hn::OddEvenBlocks(hn::SwapAdjacentBlocks(t3), t1);
            c2 = hn::OddEvenBlocks(t2, hn::SwapAdjacentBlocks(t0));
            c3 = hn::OddEvenBlocks(t3, hn::SwapAdjacentBlocks(t1));
        }
#endif
    }
#if HWY_TARGET != HWY_SCALAR
    // The four of lane n, and where there are eight lanes those of lane n + 4 above them.
    static HWY_INLINE V quad(const double* row, const std::int32_t* index, int n) {
        const D d;
        if constexpr (hn::MaxLanes(D()) == 8) {
            const hn::Half<D> half;
            return hn::Combine(d, hn::LoadU(half, row + index[n + 4]), hn::LoadU(half, row + index[n]));
        } else {
            return hn::LoadU(d, row + index[n]);
        }
    }
#endif
    const SplineGrid& grid_;
};

// Any other surface, asked lane by lane; third derivatives by differences of the second.
template <class D>
class FieldLanes {
public:
    using V = hn::Vec<D>;
    explicit FieldLanes(const HeightField& field) : field_(field) {}

    template <bool kThird>
    void slopes(V x, V y, SlopeLanes<D>& out) const {
        const D d;
        constexpr std::size_t width = HWY_MAX_BYTES / 8;
        HWY_ALIGN double in[2][width], parts[9][width];
        hn::Store(x, d, in[0]);
        hn::Store(y, d, in[1]);
        for (std::size_t lane = 0; lane < hn::Lanes(d); ++lane) {
            const double a = in[0][lane], b = in[1][lane], e = 1e-4, f = 0.5 / e;
            const SurfaceJet j = field_.jet(a, b);
            const double second[5] = {j.hx, j.hy, j.hxx, j.hxy, j.hyy};
            for (int k = 0; k < 5; ++k) parts[k][lane] = second[k];
            if constexpr (kThird) {
                const SurfaceJet w = field_.jet(a - e, b), o = field_.jet(a + e, b);
                const SurfaceJet s = field_.jet(a, b - e), n = field_.jet(a, b + e);
                const double third[4] = {f * (o.hxx - w.hxx), f * (n.hxx - s.hxx), f * (o.hyy - w.hyy), f * (n.hyy - s.hyy)};
                for (int k = 0; k < 4; ++k) parts[5 + k][lane] = third[k];
            }
        }
        out.x = hn::Load(d, parts[0]);
        out.y = hn::Load(d, parts[1]);
        out.xx = hn::Load(d, parts[2]);
        out.xy = hn::Load(d, parts[3]);
        out.yy = hn::Load(d, parts[4]);
        if constexpr (kThird) {
            out.xxx = hn::Load(d, parts[5]);
            out.xxy = hn::Load(d, parts[6]);
            out.xyy = hn::Load(d, parts[7]);
            out.yyy = hn::Load(d, parts[8]);
        }
    }

private:
    const HeightField& field_;
};

}  // namespace brae::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#endif
