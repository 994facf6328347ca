#include "core/terrain/fit_raster.h"
#include "core/base/parts.h"


#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <optional>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

// Points in square buckets of side `gap`, so that the nearest within `gap` lies in one of nine.
class Buckets {
public:
    Buckets(const FitPoints& points, double gap) : points_(points), gap_(gap) {
        for (std::size_t k = 0; k < points.size(); ++k) {
            const FitPoint p = points[k];
            x0_ = std::min(x0_, p.x), y0_ = std::min(y0_, p.y), x1_ = std::max(x1_, p.x), y1_ = std::max(y1_, p.y);
        }
        columns_ = static_cast<int>((x1_ - x0_) / gap_) + 1;
        rows_ = static_cast<int>((y1_ - y0_) / gap_) + 1;
        order_.resize(points.size());
        start_ = sort_into_bins(
            points.size(), static_cast<std::size_t>(columns_) * rows_,
            [&](std::size_t k) {
                const FitPoint p = points[k];
                return static_cast<std::size_t>((p.y - y0_) / gap_) * columns_ + static_cast<std::size_t>((p.x - x0_) / gap_);
            },
            [&](std::size_t k, std::uint32_t at) { order_[at] = static_cast<std::uint32_t>(k); });
    }
    bool near(Vec2 c) const {
        const int i = static_cast<int>(std::floor((c.x - x0_) / gap_)), j = static_cast<int>(std::floor((c.y - y0_) / gap_));
        // The own bucket first: with dense data its first points settle it.
        static constexpr int order[3] = {0, -1, 1};
        for (int dj : order)
            for (int di : order) {
                const int a = i + di, b = j + dj;
                if (a < 0 || b < 0 || a >= columns_ || b >= rows_) continue;
                const std::size_t bucket = static_cast<std::size_t>(b) * columns_ + a;
                for (std::uint32_t n = start_[bucket]; n < start_[bucket + 1]; ++n) {
                    const FitPoint p = points_[order_[n]];
                    const double dx = p.x - c.x, dy = p.y - c.y;
                    if (dx * dx + dy * dy <= gap_ * gap_) return true;
                }
            }
        return false;
    }

private:
    const FitPoints& points_;
    double gap_, x0_ = 1e300, y0_ = 1e300, x1_ = -1e300, y1_ = -1e300;
    int columns_ = 0, rows_ = 0;
    std::vector<std::uint32_t> start_, order_;
};

}  // namespace

ElevationModel raster_of(const SplineSurface& surface, const Outline& outline, double cell, Vec2 align, const FitPoints& some,
                         const FitPoints& all, double gap, double& covered) {
    const Box& box = outline.box();
    const double hair = 1e-6;
    const double i0 = std::floor((box.x0 - align.x) / cell + hair), i1 = std::ceil((box.x1 - align.x) / cell - hair);
    const double j0 = std::floor((box.y0 - align.y) / cell + hair), j1 = std::ceil((box.y1 - align.y) / cell - hair);
    ElevationModel out;
    out.height = Raster(std::max(1, static_cast<int>(i1 - i0)), std::max(1, static_cast<int>(j1 - j0)),
                        align.x + i0 * cell, align.y + j0 * cell, cell);
    out.mask.assign(out.height.values.size(), 0);
    constexpr unsigned char open = 2;
    std::vector<std::size_t> inside_row(static_cast<std::size_t>(out.height.rows)), open_row(inside_row);
    const Buckets few(some, gap);
    tbb::parallel_for(0, out.height.rows, [&](int j) {
        for (int i = 0; i < out.height.columns; ++i) {
            const Vec2 c = out.height.centre(i, j);
            if (!outline.contains(c)) continue;
            ++inside_row[static_cast<std::size_t>(j)];
            const bool near = few.near(c);
            out.mask[out.height.index(i, j)] = near ? 1 : open;
            if (near) out.height.at(i, j) = surface.height(c.x, c.y);
            else ++open_row[static_cast<std::size_t>(j)];
        }
    });
    std::size_t inside = std::accumulate(inside_row.begin(), inside_row.end(), std::size_t{0}), has = inside;
    // Where those are too few, every point.
    if (std::accumulate(open_row.begin(), open_row.end(), std::size_t{0}) > 0) {
        std::optional<Buckets> every;
        if (all.size() > some.size()) every.emplace(all, gap);
        for (int j = 0; j < out.height.rows; ++j)
            for (int i = 0; i < out.height.columns; ++i) {
                unsigned char& mask = out.mask[out.height.index(i, j)];
                if (mask != open) continue;
                const Vec2 c = out.height.centre(i, j);
                mask = every && every->near(c) ? 1 : 0;
                if (mask == 1) out.height.at(i, j) = surface.height(c.x, c.y);
                else --has;
            }
    }
    covered = inside > 0 ? static_cast<double>(has) / static_cast<double>(inside) : 0;
    return out;
}

FitVariance fit_variance(const SplineGrid& layout, const StencilMatrix& inverse, double noise, double x, double y,
                         double ux, double uy) {
    const double inv = 1 / layout.cell, u = (x - layout.x0) * inv, v = (y - layout.y0) * inv;
    const int i = static_cast<int>(std::clamp(std::floor(u), 1.0, layout.columns - 3.0)) - 1;
    const int j = static_cast<int>(std::clamp(std::floor(v), 1.0, layout.rows - 3.0)) - 1;
    const CubicWeights a = cubic_weights(u - (i + 1)), b = cubic_weights(v - (j + 1));

    // Weights of the sixteen coefficients in height and in both slope components.
    double h[16], gx[16], gy[16];
    for (int q = 0; q < 4; ++q)
        for (int r = 0; r < 4; ++r) {
            h[q * 4 + r] = a.w[r] * b.w[q];
            gx[q * 4 + r] = a.d[r] * b.w[q] * inv;
            gy[q * 4 + r] = a.w[r] * b.d[q] * inv;
        }
    double hh = 0, xx = 0, xy = 0, yy = 0;
    for (int m = 0; m < 16; ++m)
        for (int n = m; n < 16; ++n) {
            const double s = inverse.entry(i + m % 4, j + m / 4, n % 4 - m % 4, n / 4 - m / 4) * (n == m ? 1 : 2);
            hh += s * h[m] * h[n];
            xx += s * gx[m] * gx[n];
            yy += s * gy[m] * gy[n];
            xy += s * 0.5 * (gx[m] * gy[n] + gy[m] * gx[n]);
        }
    const double variance = noise * noise;
    return {variance * std::max(hh, 0.0), variance * std::max(ux * ux * xx + 2 * ux * uy * xy + uy * uy * yy, 0.0),
            variance * std::max(0.5 * (xx + yy), 0.0)};
}

}  // namespace brae
