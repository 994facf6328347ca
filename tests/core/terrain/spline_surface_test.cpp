#include "core/terrain/spline_surface.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

TEST_CASE("the spline whose coefficients sample a plane is that plane, derivatives included") {
    SplineGrid g{12, 9, -1.5, 2.0, 0.25, {}};
    for (int j = 0; j < g.rows; ++j)
        for (int i = 0; i < g.columns; ++i)
            g.coefficients.push_back(3 + 0.02 * (g.x0 + i * g.cell) - 0.03 * (g.y0 + j * g.cell));
    const SplineSurface s(g);
    const SurfaceJet j = s.jet(-0.33, 2.71);
    CHECK(j.h == doctest::Approx(3 + 0.02 * -0.33 - 0.03 * 2.71).epsilon(1e-13));
    CHECK(j.hx == doctest::Approx(0.02).epsilon(1e-12));
    CHECK(j.hy == doctest::Approx(-0.03).epsilon(1e-12));
    CHECK(std::abs(j.hxx) < 1e-11);
}

TEST_CASE("the derivatives agree with finite differences and are continuous across knots") {
    SplineGrid g{20, 20, 0, 0, 0.25, {}};
    Random random(3);
    for (int k = 0; k < 400; ++k) g.coefficients.push_back(0.05 * random.normal());
    const SplineSurface s(g);
    const double e = 1e-5;
    for (int k = 0; k < 200; ++k) {
        const double x = random.uniform(0.3, 4.2), y = random.uniform(0.3, 4.2);
        const SurfaceJet j = s.jet(x, y);
        CHECK(std::abs(j.hx - (s.height(x + e, y) - s.height(x - e, y)) / (2 * e)) < 1e-8);
        CHECK(std::abs(j.hxy - (s.jet(x, y + e).hx - s.jet(x, y - e).hx) / (2 * e)) < 1e-7);
        CHECK(std::abs(j.hyy - (s.jet(x, y + e).hy - s.jet(x, y - e).hy) / (2 * e)) < 2e-4);
    }
    const SurfaceJet a = s.jet(1.0 - 1e-12, 1.3), b = s.jet(1.0 + 1e-12, 1.3);
    CHECK(std::abs(a.hxx - b.hxx) < 1e-8);
}

TEST_CASE("a grid that is too small or holds no numbers is refused") {
    CHECK_THROWS_AS(SplineSurface(SplineGrid{3, 4, 0, 0, 1, std::vector<double>(12, 0.0)}), Error);
    CHECK_THROWS_AS(SplineSurface(SplineGrid{4, 4, 0, 0, 1, std::vector<double>(16, std::nan(""))}), Error);
}
