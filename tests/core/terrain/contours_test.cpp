#include "core/base/error.h"
#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;

namespace {

double length_of(const std::vector<Vec2>& p, bool closed) {
    double sum = 0;
    for (std::size_t k = 1; k < p.size(); ++k) sum += distance(p[k - 1], p[k]);
    return sum + (closed ? distance(p.back(), p.front()) : 0);
}

}  // namespace

TEST_CASE("every contour point lies on its level and inside the outline, and lines do not jump") {
    const TerrainModel m = build(raster(ellipse(10, 9, 8, 7), rolling_green, 0.25));
    Progress progress;
    const auto lines = contours(m, 0.02, progress);
    CHECK(lines.size() > 10);
    double off = 0, outside = 0, jump = 0;
    for (const ContourLine& line : lines) {
        CHECK(std::abs(line.height / 0.02 - std::round(line.height / 0.02)) < 1e-9);
        for (std::size_t k = 0; k < line.points.size(); ++k) {
            const Vec2 p = line.points[k];
            off = std::max(off, std::abs(m.surface->height(p.x, p.y) - line.height));
            outside = std::max(outside, -m.outline.signed_distance(p));
            if (k > 0) jump = std::max(jump, distance(p, line.points[k - 1]));
        }
    }
    CHECK(off < 1e-3);
    CHECK(outside < 1e-6);
    CHECK(jump < 0.25);
}

TEST_CASE("contours of a plane are straight chords of the green with the chord's length") {
    // Falls 2 % to the east; the contour at height 0.02 n lies at x = -n, here from x = 2 to 18.
    const auto f = [](double x, double) { return SurfaceJet{-0.02 * x, -0.02, 0, 0, 0, 0}; };
    const Outline green({{2, 1}, {18, 1}, {18, 9}, {2, 9}}, OutlineSource::drawn);
    const TerrainModel m = build(raster(green, f, 0.5));
    Progress progress;
    const auto lines = contours(m, 0.05, progress);
    CHECK(lines.size() == 7);  // x = 2.5, 5, ..., 17.5
    for (const ContourLine& line : lines) {
        CHECK_FALSE(line.closed);
        CHECK(length_of(line.points, false) == doctest::Approx(8).epsilon(1e-6));
        for (Vec2 p : line.points) CHECK(std::abs(p.x + line.height / 0.02) < 1e-3);
    }
}

TEST_CASE("contours round a top are closed circles, in the same order each time") {
    const auto bowl = [](double x, double y) {
        const double u = x - 10, v = y - 10;
        return SurfaceJet{-0.004 * (u * u + v * v), -0.008 * u, -0.008 * v, -0.008, 0, -0.008};
    };
    const TerrainModel m = build(raster(ellipse(10, 10, 9, 9), bowl, 0.5));
    Progress progress;
    const auto lines = contours(m, 0.05, progress), again = contours(m, 0.05, progress);
    int rings = 0;
    for (const ContourLine& line : lines) {
        const double radius = std::sqrt(-line.height / 0.004);
        if (line.height > -1e-6 || radius > 8.8) continue;
        CHECK(line.closed);
        CHECK(length_of(line.points, true) == doctest::Approx(2 * kPi * radius).epsilon(0.002));
        ++rings;
    }
    CHECK(rings == 6);  // radii up to 8.8 m: -0.05 to -0.30
    REQUIRE(lines.size() == again.size());
    for (std::size_t k = 0; k < lines.size(); ++k) CHECK(lines[k].points == again[k].points);
}

TEST_CASE("an interval of nothing is a wrong argument") {
    const TerrainModel m = build(raster(ellipse(10, 9, 8, 7), rolling_green, 0.5));
    Progress progress;
    CHECK_THROWS_AS(contours(m, 0, progress), Error);
    CHECK_THROWS_AS(contours(m, -1, progress), Error);
    CHECK_THROWS_AS(contours(m, 1e-9, progress), Error);
}
