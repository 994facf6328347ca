#include "core/terrain/smoothing_bias.h"

#include "core/base/random.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <tbb/parallel_for.h>
#include <vector>

namespace brae {

namespace {

constexpr int kDraws = 24;            // of the noise; their local means scatter by a tenth
constexpr double kNoNoise = 1e-5;     // m
constexpr double kOpenPlaces = 1e-6;  // of the penalty, where no point settles a coefficient

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

// The terms that show the bias: S (I - S) (2 I - S) z from the coefficients of S z, for many z at once.
using Vectors = std::vector<std::vector<double>>;
Vectors shown_of(const Vectors& fitted, const NormalEquations& eq, const BandCholesky& factor, const std::function<void()>& tick) {
    const auto less = [&](const Vectors& c) {
        tick();
        Vectors moved(c.size());
        tbb::parallel_for(std::size_t{0}, c.size(), [&](std::size_t r) { moved[r] = eq.matrix.times(c[r]); });
        tick();
        Vectors out = factor.solve(moved);
        for (std::size_t r = 0; r < c.size(); ++r)
            for (std::size_t k = 0; k < c[r].size(); ++k) out[r][k] = c[r][k] - out[r][k];
        return out;
    };
    Vectors first = less(fitted);
    const Vectors second = less(first);
    for (std::size_t r = 0; r < first.size(); ++r)
        for (std::size_t k = 0; k < first[r].size(); ++k) first[r][k] += second[r][k];
    return first;
}

// Adds the squares of splines' heights and slopes (mean over directions) at the cells, spline after spline.
void add_squares(const SplineGrid& layout, const Vectors& coefficients, const ElevationModel& grid, Raster& height, Raster& slope,
                 const std::function<void()>& tick) {
    for (const std::vector<double>& own : coefficients) {
        SplineGrid spline = layout;
        spline.coefficients = own;
        const SplineSurface surface(std::move(spline));
        tick();
        tbb::parallel_for(0, height.rows, [&](int j) {
            for (int i = 0; i < height.columns; ++i)
                if (grid.has(i, j)) {
                    const Vec2 c = height.centre(i, j);
                    const SurfaceJet d = surface.jet(c.x, c.y);
                    height.at(i, j) += d.h * d.h;
                    slope.at(i, j) += 0.5 * (d.hx * d.hx + d.hy * d.hy);
                }
        });
    }
}

}  // namespace

ErrorShares error_shares(const SplineGrid& layout, const NormalEquations& eq, double lambda, const StencilMatrix& penalty, double noise_m,
                         const BandCholesky& factor, const ElevationModel& grid, const FitAtCells& fit, double reach_m,
                         const std::function<void()>& tick) {
    const Raster& h = grid.height;
    const Raster none(h.columns, h.rows, h.x0, h.y0, h.cell);
    ErrorShares out{none, none, none, none};
    // Exact heights are interpolated: nothing is smoothed.
    if (!(noise_m > kNoNoise)) {
        out.noise_height.values.assign(none.values.size(), 1.0);
        out.noise_slope = out.noise_height;
        return out;
    }

    // What b shows of all.
    Raster b_height = none, b_slope = none, n_height = none, n_slope = none;
    add_squares(layout, shown_of({factor.solve(eq.rhs)}, eq, factor, tick), grid, b_height, b_slope, tick);

    // Noise through the same fit: A'We has the covariance s^2 A'WA, so it is drawn with the factor of that matrix.
    const BandCholesky root(eq.matrix, kOpenPlaces * lambda, &penalty, tick);
    Random random(20260115);
    Vectors draws(kDraws, std::vector<double>(eq.rhs.size()));
    for (std::vector<double>& draw : draws)
        for (double& value : draw) value = random.normal();
    const Vectors fitted = factor.solve(root.times_factor(draws));
    add_squares(layout, fitted, grid, out.noise_height, out.noise_slope, tick);
    add_squares(layout, shown_of(fitted, eq, factor, tick), grid, n_height, n_slope, tick);
    const double scale = noise_m * noise_m / kDraws;
    for (std::size_t k = 0; k < none.values.size(); ++k) {
        out.noise_height.values[k] *= scale, out.noise_slope.values[k] *= scale;
        b_height.values[k] -= n_height.values[k] * scale + fit.correlated_height.values[k];
        b_slope.values[k] -= n_slope.values[k] * scale + fit.correlated_slope.values[k];
    }

    // Local means, and their ratios.
    Raster height = fit.height, slope = fit.slope;
    average(grid, reach_m, {&height, &slope, &out.noise_height, &out.noise_slope, &b_height, &b_slope});
    for (std::size_t k = 0; k < none.values.size(); ++k) {
        if (grid.mask[k] == 0 || !(height.values[k] > 0) || !(slope.values[k] > 0)) continue;
        const auto shares = [](double variance, double shown, double share, double& noise, double& bias) {
            noise = std::min(noise / variance, 1.0);
            const double expected = (1 - noise) * variance;
            bias = expected > 0 ? std::max(0.0, shown) / (share * expected) : 0;
        };
        shares(height.values[k], b_height.values[k], kShownOfHeight, out.noise_height.values[k], out.bias_height.values[k]);
        shares(slope.values[k], b_slope.values[k], kShownOfSlope, out.noise_slope.values[k], out.bias_slope.values[k]);
    }
    return out;
}

double unseen_share(double smoothing_length_m, double spacing_m) {
    const double ratio = kPi * smoothing_length_m / spacing_m, square = ratio * ratio;
    return 1 / (1 + square * square * square);
}

PassedShares passed_shares(double correlation_length_m, double smoothing_length_m) {
    // Midpoint rule in q = k L, where the Gaussian is spent at 8.
    PassedShares out{0, 0, 0, 0};
    double height = 0, slope = 0;
    constexpr int kSteps = 400;
    for (int i = 0; i < kSteps; ++i) {
        const double q = 8.0 * (i + 0.5) / kSteps, power = q * std::exp(-q * q / 2);
        const double ratio = q * smoothing_length_m / correlation_length_m, square = ratio * ratio, s = 1 / (1 + square * square * square);
        const double shown = s * (1 - s) * (2 - s);
        height += power, slope += power * q * q;
        out.height += power * s * s, out.slope += power * q * q * s * s;
        out.height_shown += power * shown * shown, out.slope_shown += power * q * q * shown * shown;
    }
    return {out.height / height, out.slope / slope, out.height_shown / height, out.slope_shown / slope};
}

}  // namespace brae
