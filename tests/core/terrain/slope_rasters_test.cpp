#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

TEST_CASE("slope, aspect and curvature of a formula come back, and cells without data hold nothing") {
    // A trough along y: rolling down into it a ball meets a rise.
    const auto trough = [](double x, double y) {
        const double u = x - 10;
        return SurfaceJet{0.002 * u * u - 0.01 * y, 0.004 * u, -0.01, 0.004, 0, 0};
    };
    const TerrainModel m = build(raster(ellipse(10, 9, 8, 7), trough, 0.5));
    const SlopeRasters r = slope_rasters(m);
    for (int j = 0; j < r.slope.rows; ++j)
        for (int i = 0; i < r.slope.columns; ++i) {
            if (!m.grid.has(i, j)) {
                CHECK(std::isnan(r.slope.at(i, j)));
                CHECK(std::isnan(r.aspect_deg.at(i, j)));
                CHECK(std::isnan(r.profile_curvature.at(i, j)));
                continue;
            }
            const Vec2 c = r.slope.centre(i, j);
            const double gx = 0.004 * (c.x - 10), p = gx * gx + 1e-4;
            CHECK(r.slope.at(i, j) == doctest::Approx(std::sqrt(p)).epsilon(1e-6));
            // Downhill is (-gx, 0.01): bearing clockwise from north.
            double bearing = std::atan2(-gx, 0.01) * 180 / kPi;
            if (bearing < 0) bearing += 360;
            CHECK(std::abs(std::remainder(r.aspect_deg.at(i, j) - bearing, 360)) < 1e-3);
            CHECK(r.profile_curvature.at(i, j) == doctest::Approx(gx * gx * 0.004 / (p * std::pow(1 + p, 1.5))).epsilon(1e-4));
            CHECK(r.profile_curvature.at(i, j) >= 0);
        }
}

TEST_CASE("level ground has a slope of zero and no aspect") {
    const auto level = [](double, double) { return SurfaceJet{2, 0, 0, 0, 0, 0}; };
    const TerrainModel m = build(raster(ellipse(10, 9, 8, 7), level, 0.5));
    const SlopeRasters r = slope_rasters(m);
    const int i = r.slope.columns / 2, j = r.slope.rows / 2;
    CHECK(std::abs(r.slope.at(i, j)) < 1e-9);
    CHECK(std::isnan(r.aspect_deg.at(i, j)));
}
