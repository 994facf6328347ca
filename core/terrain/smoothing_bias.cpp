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

// Gaussian means of the fields over the cells that have data.
void average(const ElevationModel& grid, double reach_m, const std::vector<Raster*>& fields) {
    const Raster& h = grid.height;
    const double sigma = std::max(reach_m / h.cell, 0.5);
    const auto both_ways = [&](std::vector<double>& values) {
        blur(values, h.rows, h.columns, static_cast<std::size_t>(h.columns), 1, sigma);
        blur(values, h.columns, h.rows, 1, static_cast<std::size_t>(h.columns), sigma);
    };
    std::vector<double> weight(h.values.size(), 0);
    for (std::size_t k = 0; k < weight.size(); ++k) weight[k] = grid.mask[k] != 0;
    both_ways(weight);
    for (Raster* field : fields) {
        both_ways(field->values);
        for (std::size_t k = 0; k < weight.size(); ++k) field->values[k] = grid.mask[k] != 0 ? field->values[k] / weight[k] : 0;
    }
}

}  // namespace

TwicedBias twiced_bias(const SplineSurface& difference, const ElevationModel& grid, double reach_m) {
    const Raster& h = grid.height;
    TwicedBias out{Raster(h.columns, h.rows, h.x0, h.y0, h.cell), Raster(h.columns, h.rows, h.x0, h.y0, h.cell)};
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i)
            if (grid.has(i, j)) {
                const Vec2 c = h.centre(i, j);
                const SurfaceJet d = difference.jet(c.x, c.y);
                out.height.at(i, j) = d.h * d.h;
                out.slope.at(i, j) = 0.5 * (d.hx * d.hx + d.hy * d.hy);
            }
    average(grid, reach_m, {&out.height, &out.slope});
    return out;
}

Raster relative_roughness(const SplineSurface& surface, const ElevationModel& grid, double reach_m) {
    const Raster& h = grid.height;
    Raster out(h.columns, h.rows, h.x0, h.y0, h.cell);
    double sum = 0, count = 0;
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i)
            if (grid.has(i, j)) {
                // Third derivatives from second ones half a cell to each side.
                const Vec2 c = h.centre(i, j);
                const double half = h.cell / 2;
                const SurfaceJet e = surface.jet(c.x + half, c.y), w = surface.jet(c.x - half, c.y);
                const SurfaceJet n = surface.jet(c.x, c.y + half), s = surface.jet(c.x, c.y - half);
                const double xxx = e.hxx - w.hxx, xxy = e.hxy - w.hxy, xyy = n.hxy - s.hxy, yyy = n.hyy - s.hyy;
                out.at(i, j) = (xxx * xxx + 3 * xxy * xxy + 3 * xyy * xyy + yyy * yyy) / (h.cell * h.cell);
                sum += out.at(i, j), count += 1;
            }
    average(grid, reach_m, {&out});
    for (double& value : out.values) value = sum > 0 ? value / (sum / count) : 0;
    return out;
}

PassedShares passed_shares(double correlation_length_m, double smoothing_length_m) {
    // Midpoint rule in q = k L, where the Gaussian is spent at 8.
    PassedShares all{0, 0}, passed{0, 0};
    constexpr int kSteps = 800;
    for (int i = 0; i < kSteps; ++i) {
        const double q = 8.0 * (i + 0.5) / kSteps, power = q * std::exp(-q * q / 2);
        const double filter = 1 / (1 + std::pow(q * smoothing_length_m / correlation_length_m, 6));
        all.height += power, all.slope += power * q * q;
        passed.height += power * filter * filter, passed.slope += power * q * q * filter * filter;
    }
    return {passed.height / all.height, passed.slope / all.slope};
}

// B(1/3, 5/3) / B(1/3, 2/3) = 2/3, B(4/3, 5/3) / B(1/3, 2/3) = 1/9, B(7/3, 5/3) / B(4/3, 5/3) = 4/9.
double height_variance_here(double expected, double twiced) { return variance_here(expected, twiced, 2.0 / 3, 1.0 / 9, 4.0 / 9); }

// B(2/3, 4/3) / B(2/3, 1/3) = 1/3, B(5/3, 4/3) / B(2/3, 1/3) = 1/9, B(8/3, 4/3) / B(5/3, 4/3) = 5/9.
double slope_variance_here(double expected, double twiced) { return variance_here(expected, twiced, 1.0 / 3, 1.0 / 9, 5.0 / 9); }

}  // namespace brae
