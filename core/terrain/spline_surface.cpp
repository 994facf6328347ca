#include "core/terrain/spline_surface.h"

#include "core/base/error.h"

#include <algorithm>
#include <cmath>

namespace brae {

SplineSurface::SplineSurface(SplineGrid grid) : grid_(std::move(grid)) {
    const auto wanted = static_cast<std::size_t>(std::max(grid_.columns, 0)) * std::max(grid_.rows, 0);
    if (grid_.columns < 4 || grid_.rows < 4 || !(grid_.cell > 0) || grid_.coefficients.size() != wanted)
        throw Error("the surface has no usable grid of coefficients; at least 4 x 4 are wanted");
    for (double c : grid_.coefficients)
        if (!std::isfinite(c)) throw Error("the surface holds a coefficient that is not a number");
}

SurfaceJet SplineSurface::jet(double x, double y) const noexcept {
    // The patch, clamped so that a point outside reads the nearest patch.
    const double inv = 1 / grid_.cell;
    const double u = (x - grid_.x0) * inv, v = (y - grid_.y0) * inv;
    const int i = static_cast<int>(std::clamp(std::floor(u), 1.0, grid_.columns - 3.0));
    const int j = static_cast<int>(std::clamp(std::floor(v), 1.0, grid_.rows - 3.0));
    const CubicWeights a = cubic_weights(u - i), b = cubic_weights(v - j);

    // Rows first, then the column.
    SurfaceJet out;
    const double* c = &grid_.coefficients[static_cast<std::size_t>(j - 1) * grid_.columns + (i - 1)];
    for (int k = 0; k < 4; ++k, c += grid_.columns) {
        const double h = a.w[0] * c[0] + a.w[1] * c[1] + a.w[2] * c[2] + a.w[3] * c[3];
        const double hx = a.d[0] * c[0] + a.d[1] * c[1] + a.d[2] * c[2] + a.d[3] * c[3];
        const double hxx = a.dd[0] * c[0] + a.dd[1] * c[1] + a.dd[2] * c[2] + a.dd[3] * c[3];
        out.h += b.w[k] * h;
        out.hy += b.d[k] * h;
        out.hyy += b.dd[k] * h;
        out.hx += b.w[k] * hx;
        out.hxy += b.d[k] * hx;
        out.hxx += b.w[k] * hxx;
    }
    out.hx *= inv;
    out.hy *= inv;
    out.hxx *= inv * inv;
    out.hxy *= inv * inv;
    out.hyy *= inv * inv;
    return out;
}

}  // namespace brae
