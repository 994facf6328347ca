#include "core/terrain/spline_fit.h"

#include "core/base/random.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {

double quadratic_form(const SplineGrid& g, const StencilMatrix& m) {
    double sum = 0;
    for (int j = 0; j < g.rows; ++j)
        for (int i = 0; i < g.columns; ++i)
            for (int dj = -3; dj <= 3; ++dj)
                for (int di = -3; di <= 3; ++di)
                    if (i + di >= 0 && i + di < g.columns && j + dj >= 0 && j + dj < g.rows)
                        sum += g.at(i, j) * m.entry(i, j, di, dj) * g.at(i + di, j + dj);
    return sum;
}

}  // namespace

TEST_CASE("the layout covers its domain with knots on the asked lattice") {
    const SplineGrid g = knot_layout({-1.3, 2.2, 4.1, 7.0}, 0.5, {0.25, 0});
    CHECK(std::abs(std::remainder(g.x0 - 0.25, 0.5)) < 1e-12);
    CHECK(std::abs(std::remainder(g.y0, 0.5)) < 1e-12);
    CHECK(g.x0 + g.cell <= -1.3);
    CHECK(g.x0 + (g.columns - 2) * g.cell >= 4.1);
    CHECK(g.y0 + g.cell <= 2.2);
    CHECK(g.y0 + (g.rows - 2) * g.cell >= 7.0);
    CHECK(g.x0 + 2 * g.cell > -1.3);  // not a cell more than needed
}

TEST_CASE("the penalty vanishes on quadratics and has the closed value on cubics") {
    SplineGrid g = knot_layout({0, 0, 4, 3}, 0.5, {0, 0});
    const StencilMatrix p = third_derivative_penalty(g);
    const Quadratic q{1, 1, 2, {3, 0.5, -0.2, 0.7, -0.4, 0.9}};
    add_quadratic(g, q);
    CHECK(std::abs(quadratic_form(g, p)) < 1e-8);

    // B-spline coefficients of x^3, x^2 y by blossoming: x^3 -> t^3 - t h^2, x^2 -> t^2 - h^2 / 3 at the node t.
    const double h = g.cell;
    const auto fill = [&](auto&& f) {
        for (int j = 0; j < g.rows; ++j)
            for (int i = 0; i < g.columns; ++i) g.coefficients[static_cast<std::size_t>(j) * g.columns + i] = f(g.x0 + i * h, g.y0 + j * h);
    };
    // (x^3)_xxx = 6: 36 times the area of 12; x^2 y has f_xxy = 2: 3 * 4 * 12.
    fill([&](double x, double) { return x * x * x - x * h * h; });
    CHECK(quadratic_form(g, p) == doctest::Approx(36 * 12));
    fill([&](double x, double y) { return (x * x - h * h / 3) * y; });
    CHECK(quadratic_form(g, p) == doctest::Approx(12 * 12));
    fill([&](double x, double y) { return (y * y - h * h / 3) * x; });
    CHECK(quadratic_form(g, p) == doctest::Approx(12 * 12));
    fill([&](double, double y) { return y * y * y - y * h * h; });
    CHECK(quadratic_form(g, p) == doctest::Approx(36 * 12));
}

TEST_CASE("the normal equations are the weighted sums of the spline's own weights") {
    SplineGrid g = knot_layout({0, 0, 3, 2}, 0.5, {0, 0});
    Random random(5);
    for (double& c : g.coefficients) c = random.normal();
    const SplineSurface s(g);
    std::vector<FitPoint> points;
    double squares = 0, mixed = 0, heights = 0;
    for (int k = 0; k < 200; ++k) {
        const FitPoint p{random.uniform(0, 3), random.uniform(0, 2), random.normal(), 0.5 + random.uniform()};
        const double f = s.height(p.x, p.y);
        squares += p.weight * f * f, mixed += p.weight * f * p.z, heights += p.weight * p.z * p.z;
        points.push_back(p);
    }
    // c'A'WAc, c'A'Wz and z'Wz.
    const NormalEquations eq = normal_equations(g, points, [] {});
    double rhs = 0;
    for (std::size_t k = 0; k < eq.rhs.size(); ++k) rhs += g.coefficients[k] * eq.rhs[k];
    CHECK(quadratic_form(g, eq.matrix) == doctest::Approx(squares).epsilon(1e-10));
    CHECK(rhs == doctest::Approx(mixed).epsilon(1e-10));
    CHECK(eq.squares == doctest::Approx(heights).epsilon(1e-12));
    CHECK(eq.count == 200);
}

TEST_CASE("the trend of points on a line keeps open terms at zero and still passes through them") {
    std::vector<FitPoint> points;
    for (int k = 0; k < 20; ++k) points.push_back({0.5 * k, 0.25 * k, 0.02 * k, 1});
    const Quadratic q = fit_quadratic(points);
    for (const FitPoint& p : points) CHECK(std::abs(q.at(p.x, p.y) - p.z) < 1e-9);
    CHECK(std::isfinite(q.at(100, -100)));
}
