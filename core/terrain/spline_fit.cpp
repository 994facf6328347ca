#include "core/terrain/spline_fit.h"
#include "core/base/large_vector.h"
#include "core/base/parts.h"


#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstdint>

namespace brae {

SplineGrid knot_layout(const Box& domain, double cell, Vec2 align) {
    // A hair of tolerance so that a domain that ends on a knot does not gain a patch by rounding.
    const double hair = 1e-6;
    const double i0 = std::floor((domain.x0 - align.x) / cell + hair), i1 = std::ceil((domain.x1 - align.x) / cell - hair);
    const double j0 = std::floor((domain.y0 - align.y) / cell + hair), j1 = std::ceil((domain.y1 - align.y) / cell - hair);
    SplineGrid grid;
    grid.cell = cell;
    grid.columns = std::max(1, static_cast<int>(i1 - i0)) + 3;
    grid.rows = std::max(1, static_cast<int>(j1 - j0)) + 3;
    grid.x0 = align.x + (i0 - 1) * cell;
    grid.y0 = align.y + (j0 - 1) * cell;
    grid.coefficients.assign(static_cast<std::size_t>(grid.columns) * grid.rows, 0.0);
    return grid;
}

namespace {

// Sums over the points of one patch: its sixteen coefficients with each other (m <= n), with the heights, and z'Wz.
struct PatchSums {
    double product[16][16] = {}, height[16] = {}, squares = 0;
};

// The weights themselves, point by point.
template <class Points>
void add_points(const Points& points, PatchSums& sums) {
    points([&](double t, double s, double z, double weight) {
        const CubicWeights a = cubic_weights(t), b = cubic_weights(s);
        double f[16];
        for (int q = 0; q < 4; ++q)
            for (int r = 0; r < 4; ++r) f[4 * q + r] = a.w[r] * b.w[q];
        for (int m = 0; m < 16; ++m) {
            const double w = weight * f[m];
            sums.height[m] += w * z;
            for (int n = m; n < 16; ++n) sums.product[m][n] += w * f[n];
        }
        sums.squares += weight * z * z;
    });
}

// The weights are cubics in the place within the patch, so that sums of powers of it say the same: fewer for many points.
template <class Points>
void add_powers(const Points& points, PatchSums& sums) {
    double power[7][8] = {}, height[4][4] = {};
    points([&](double t, double s, double z, double weight) {
        double u[8];
        u[0] = 1;
        for (int k = 1; k < 8; ++k) u[k] = u[k - 1] * (t - 0.5);
        double v = weight;
        for (int l = 0; l < 7; ++l, v *= s - 0.5) {
            for (int k = 0; k < 8; ++k) power[l][k] += v * u[k];
            if (l < 4)
                for (int k = 0; k < 4; ++k) height[l][k] += v * z * u[k];
        }
        sums.squares += weight * z * z;
    });
    // The four weights in powers of the distance from the middle of the patch, by Taylor's formula.
    const CubicWeights middle = cubic_weights(0.5);
    static constexpr double third[4] = {-1, 3, -3, 1};
    double c[4][4], product[4][4][7] = {};
    for (int r = 0; r < 4; ++r) c[r][0] = middle.w[r], c[r][1] = middle.d[r], c[r][2] = middle.dd[r] / 2, c[r][3] = third[r] / 6;
    for (int r = 0; r < 4; ++r)
        for (int s = 0; s < 4; ++s)
            for (int k = 0; k < 4; ++k)
                for (int l = 0; l < 4; ++l) product[r][s][k + l] += c[r][k] * c[s][l];
    for (int q = 0; q < 4; ++q)
        for (int p = q; p < 4; ++p) {
            double along[7] = {};
            for (int k = 0; k < 7; ++k)
                for (int l = 0; l < 7; ++l) along[k] += product[q][p][l] * power[l][k];
            for (int r = 0; r < 4; ++r)
                for (int s = 0; s < 4; ++s)
                    for (int k = 0; k < 7; ++k) sums.product[4 * q + r][4 * p + s] += product[r][s][k] * along[k];
        }
    for (int q = 0; q < 4; ++q)
        for (int r = 0; r < 4; ++r)
            for (int l = 0; l < 4; ++l)
                for (int k = 0; k < 4; ++k) sums.height[4 * q + r] += c[q][l] * c[r][k] * height[l][k];
}

}  // namespace

NormalEquations normal_equations(const SplineGrid& layout, const FitPoints& points, const std::function<void()>& tick, const Progress& look) {
    NormalEquations out;
    out.matrix = StencilMatrix(layout.columns, layout.rows);
    out.rhs.assign(static_cast<std::size_t>(layout.columns) * layout.rows, 0.0);
    out.count = points.size();
    const double inv = 1 / layout.cell;
    const int across = layout.columns - 3, up = layout.rows - 3;
    const auto patch_of = [](double u, int patches) { return static_cast<int>(std::clamp(std::floor(u), 1.0, static_cast<double>(patches))) - 1; };

    // Points by patch, in their order.
    std::vector<std::uint32_t> order = large_vector<std::uint32_t>(points.size(), look);
    const auto start = sort_into_bins(
        points.size(), static_cast<std::size_t>(across) * up,
        [&](std::size_t k) {
            const FitPoint p = points[k];
            const int i = patch_of((p.x - layout.x0) * inv, across), j = patch_of((p.y - layout.y0) * inv, up);
            return static_cast<std::size_t>(j) * across + i;
        },
        [&](std::size_t k, std::uint32_t at) { order[at] = static_cast<std::uint32_t>(k); }, look);
    tick();

    // A row of patches touches four rows of coefficients: every fourth row at the same time, so that no two threads meet and
    // each sum has one order.
    std::vector<double> squares(static_cast<std::size_t>(up), 0.0);
    const auto add_row = [&](int j) {
        look.check();
        for (int i = 0; i < across; ++i) {
            const std::size_t patch = static_cast<std::size_t>(j) * across + i;
            const std::uint32_t begin = start[patch], end = start[patch + 1];
            if (begin == end) continue;
            const auto each = [&](const auto& f) {
                for (std::uint32_t n = begin; n < end; ++n) {
                    const FitPoint p = points[order[n]];
                    f((p.x - layout.x0) * inv - (i + 1), (p.y - layout.y0) * inv - (j + 1), p.z, p.weight);
                }
            };
            PatchSums sums;
            if (end - begin < 32) add_points(each, sums);
            else add_powers(each, sums);
            squares[static_cast<std::size_t>(j)] += sums.squares;
            for (int m = 0; m < 16; ++m) {
                out.rhs[static_cast<std::size_t>(j + m / 4) * layout.columns + i + m % 4] += sums.height[m];
                for (int n = m; n < 16; ++n) out.matrix.upper(i + m % 4, j + m / 4, n % 4 - m % 4, n / 4 - m / 4) += sums.product[m][n];
            }
        }
    };
    constexpr int at_once = 8;
    for (int colour = 0; colour < 4; ++colour)
        for (int first = colour; first < up; first += 4 * at_once) {
            tbb::parallel_for(0, std::min(at_once, (up - first + 3) / 4), [&](int row) { add_row(first + 4 * row); });
            tick();
        }
    for (const double row : squares) out.squares += row;
    return out;
}

namespace {

// Integrals of products of k-th derivatives of the n one-dimensional B-splines, by offset 0..3: gram[i][d].
using Gram = std::vector<std::array<double, 4>>;
Gram gram(int n, double cell, int k) {
    // Four Gauss points integrate the sixth degree exactly.
    static constexpr double node[2] = {0.33998104358485626, 0.86113631159405258};
    static constexpr double weight[2] = {0.65214515486254614, 0.34785484513745386};
    double local[4][4] = {};
    for (int g = 0; g < 4; ++g) {
        const double t = 0.5 * (1 + (g % 2 ? -1 : 1) * node[g / 2]), w = 0.5 * weight[g / 2];
        const CubicWeights c = cubic_weights(t);
        const double third[4] = {-1, 3, -3, 1};
        const double* f = k == 0 ? c.w : k == 1 ? c.d : k == 2 ? c.dd : third;
        for (int r = 0; r < 4; ++r)
            for (int s = 0; s < 4; ++s) local[r][s] += w * f[r] * f[s];
    }
    const double scale = std::pow(cell, 1 - 2 * k);
    Gram out(n, {0, 0, 0, 0});
    for (int patch = 0; patch + 3 < n; ++patch)
        for (int r = 0; r < 4; ++r)
            for (int s = r; s < 4; ++s) out[patch + r][s - r] += scale * local[r][s];
    return out;
}

}  // namespace

StencilMatrix third_derivative_penalty(const SplineGrid& layout) {
    StencilMatrix out(layout.columns, layout.rows);
    static constexpr double binomial[4] = {1, 3, 3, 1};
    // The integrals over the rectangle are products of those along its sides.
    for (int k = 0; k < 4; ++k) {
        const Gram gx = gram(layout.columns, layout.cell, 3 - k), gy = gram(layout.rows, layout.cell, k);
        for (int j = 0; j < layout.rows; ++j)
            for (int i = 0; i < layout.columns; ++i)
                for (int dj = 0; dj < std::min(4, layout.rows - j); ++dj)
                    for (int di = dj == 0 ? 0 : -std::min(3, i); di <= std::min(3, layout.columns - 1 - i); ++di) {
                        const double x = di >= 0 ? gx[i][di] : gx[i + di][-di];
                        out.upper(i, j, di, dj) += binomial[k] * x * gy[j][dj];
                    }
    }
    return out;
}

Quadratic fit_quadratic(const std::vector<FitPoint>& points) {
    Quadratic q;
    if (points.empty()) return q;
    // Centre and size, so that the six columns are of one magnitude.
    double total = 0;
    for (const FitPoint& p : points) total += p.weight, q.cx += p.weight * p.x, q.cy += p.weight * p.y;
    q.cx /= total;
    q.cy /= total;
    double reach = 0;
    for (const FitPoint& p : points) reach = std::max({reach, std::abs(p.x - q.cx), std::abs(p.y - q.cy)});
    q.scale = reach > 0 ? reach : 1;

    // Normal equations, solved for the residuals three times over so that rounding is worked off.
    using Six = Eigen::Matrix<double, 6, 1>;
    const auto columns = [&](const FitPoint& p) {
        const double u = (p.x - q.cx) / q.scale, v = (p.y - q.cy) / q.scale;
        return Six(1, u, v, u * u, u * v, v * v);
    };
    Eigen::Matrix<double, 6, 6> m = Eigen::Matrix<double, 6, 6>::Zero();
    for (const FitPoint& p : points) {
        const Six f = columns(p);
        m += p.weight * f * f.transpose();
    }
    const Eigen::CompleteOrthogonalDecomposition<Eigen::Matrix<double, 6, 6>> solver(m);
    for (int pass = 0; pass < 3; ++pass) {
        Six b = Six::Zero();
        for (const FitPoint& p : points) b += p.weight * (p.z - q.at(p.x, p.y)) * columns(p);
        const Six da = solver.solve(b);
        for (int k = 0; k < 6; ++k) q.a[k] += da[k];
    }
    return q;
}

void add_quadratic(SplineGrid& grid, const Quadratic& q) {
    const double third = grid.cell * grid.cell / (3 * q.scale * q.scale) * (q.a[3] + q.a[5]);
    for (int j = 0; j < grid.rows; ++j)
        for (int i = 0; i < grid.columns; ++i)
            grid.coefficients[static_cast<std::size_t>(j) * grid.columns + i] +=
                q.at(grid.x0 + i * grid.cell, grid.y0 + j * grid.cell) - third;
}

}  // namespace brae
