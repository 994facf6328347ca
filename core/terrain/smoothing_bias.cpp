#include "core/terrain/smoothing_bias.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <vector>

namespace brae {

namespace {

// Weighted sums with a Gaussian along each of `lines` lines; sigma in cells.
void blur(std::vector<double>& values, int lines, int length, std::size_t line_stride, std::size_t stride, double sigma) {
    const int reach = std::min(static_cast<int>(std::ceil(3 * sigma)), length);
    std::vector<double> weight, line(static_cast<std::size_t>(length));
    for (int k = 0; k <= reach; ++k) weight.push_back(std::exp(-0.5 * k * k / (sigma * sigma)));
    for (int l = 0; l < lines; ++l) {
        double* at = values.data() + static_cast<std::size_t>(l) * line_stride;
        for (int i = 0; i < length; ++i) {
            double sum = 0;
            for (int k = std::max(0, i - reach); k <= std::min(length - 1, i + reach); ++k)
                sum += weight[static_cast<std::size_t>(std::abs(k - i))] * at[static_cast<std::size_t>(k) * stride];
            line[static_cast<std::size_t>(i)] = sum;
        }
        for (int i = 0; i < length; ++i) at[static_cast<std::size_t>(i) * stride] = line[static_cast<std::size_t>(i)];
    }
}

// Noise, plus the expected bias scaled by what d shows of it beyond its noise.
double variance_here(double expected, double twiced, double noise_share, double twiced_share, double noise_of_twiced) {
    const double shown = std::max(0.0, twiced / twiced_share - noise_of_twiced * expected) / (1 - noise_of_twiced);
    return noise_share * expected + (1 - noise_share) * shown;
}

}  // namespace

TwicedBias twiced_bias(const SplineSurface& difference, const ElevationModel& grid, double reach_m) {
    const Raster& h = grid.height;
    TwicedBias out{Raster(h.columns, h.rows, h.x0, h.y0, h.cell), Raster(h.columns, h.rows, h.x0, h.y0, h.cell)};
    std::vector<double> weight(h.values.size(), 0);
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i)
            if (grid.has(i, j)) {
                const Vec2 c = h.centre(i, j);
                const SurfaceJet d = difference.jet(c.x, c.y);
                out.height.at(i, j) = d.h * d.h;
                out.slope.at(i, j) = 0.5 * (d.hx * d.hx + d.hy * d.hy);
                weight[h.index(i, j)] = 1;
            }

    // Gaussian means over what has data.
    const double sigma = std::max(reach_m / h.cell, 0.5);
    for (std::vector<double>* field : {&out.height.values, &out.slope.values, &weight}) {
        blur(*field, h.rows, h.columns, static_cast<std::size_t>(h.columns), 1, sigma);
        blur(*field, h.columns, h.rows, 1, static_cast<std::size_t>(h.columns), sigma);
    }
    for (std::size_t k = 0; k < weight.size(); ++k)
        for (Raster* field : {&out.height, &out.slope}) field->values[k] = grid.mask[k] != 0 ? field->values[k] / weight[k] : 0;
    return out;
}

// B(1/3, 5/3) / B(1/3, 2/3) = 2/3, B(4/3, 5/3) / B(1/3, 2/3) = 1/9, B(7/3, 5/3) / B(4/3, 5/3) = 4/9.
double height_variance_here(double expected, double twiced) { return variance_here(expected, twiced, 2.0 / 3, 1.0 / 9, 4.0 / 9); }

// B(2/3, 4/3) / B(2/3, 1/3) = 1/3, B(5/3, 4/3) / B(2/3, 1/3) = 1/9, B(8/3, 4/3) / B(5/3, 4/3) = 5/9.
double slope_variance_here(double expected, double twiced) { return variance_here(expected, twiced, 1.0 / 3, 1.0 / 9, 5.0 / 9); }

}  // namespace brae
