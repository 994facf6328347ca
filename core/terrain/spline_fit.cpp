#include "core/terrain/spline_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

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

NormalEquations normal_equations(const SplineGrid& layout, const std::vector<FitPoint>& points,
                                 const std::function<void()>& tick) {
    NormalEquations out;
    out.matrix = StencilMatrix(layout.columns, layout.rows);
    out.rhs.assign(static_cast<std::size_t>(layout.columns) * layout.rows, 0.0);
    out.count = points.size();
    const double inv = 1 / layout.cell;
    std::size_t done = 0;
    for (const FitPoint& p : points) {
        if (++done % 65536 == 0) tick();
        // The patch and the sixteen weights of the point.
        const double u = (p.x - layout.x0) * inv, v = (p.y - layout.y0) * inv;
        const int i = static_cast<int>(std::clamp(std::floor(u), 1.0, layout.columns - 3.0)) - 1;
        const int j = static_cast<int>(std::clamp(std::floor(v), 1.0, layout.rows - 3.0)) - 1;
        const CubicWeights a = cubic_weights(u - (i + 1)), b = cubic_weights(v - (j + 1));
        out.squares += p.weight * p.z * p.z;
        for (int q = 0; q < 4; ++q)
            for (int r = 0; r < 4; ++r) {
                const double w = p.weight * b.w[q] * a.w[r];
                out.rhs[static_cast<std::size_t>(j + q) * layout.columns + i + r] += w * p.z;
                // Partners: the rest of this row of weights, then the rows north of it.
                double* row = &out.matrix.upper(i + r, j + q, 0, 0);
                for (int s = r; s < 4; ++s) row[s - r] += w * b.w[q] * a.w[s];
                for (int t = q + 1; t < 4; ++t) {
                    const double wt = w * b.w[t];
                    double* north = row + 7 * (t - q) - r;
                    for (int s = 0; s < 4; ++s) north[s] += wt * a.w[s];
                }
            }
    }
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

double Quadratic::at(double x, double y) const {
    const double u = (x - cx) / scale, v = (y - cy) / scale;
    return a[0] + u * (a[1] + a[3] * u + a[4] * v) + v * (a[2] + a[5] * v);
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
