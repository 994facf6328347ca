#include "core/base/error.h"
#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

#include <limits>

using namespace brae;
using namespace brae::test;

TEST_CASE("fall lines run downhill along the gradient, inside the green") {
    const TerrainModel m = build(raster(ellipse(10, 9, 8, 7), rolling_green, 0.25));
    Progress progress;
    const auto lines = fall_lines(m, 0.7, progress);
    CHECK(lines.size() > 12);
    double worst_turn = 0;
    for (const FallLine& line : lines) {
        REQUIRE(line.points.size() > 2);
        for (std::size_t k = 1; k < line.points.size(); ++k) {
            const Vec2 a = line.points[k - 1], b = line.points[k], c = 0.5 * (a + b);
            CHECK(m.surface->height(b.x, b.y) < m.surface->height(a.x, a.y));
            const SurfaceJet s = m.surface->jet(c.x, c.y);
            if (distance(a, b) < 0.02 || slope_ratio(s) < 0.005) continue;
            const Vec2 down = unit(Vec2{-s.hx, -s.hy});
            worst_turn = std::max(worst_turn, std::abs(std::atan2(cross(down, b - a), dot(down, b - a))));
        }
        for (Vec2 p : line.points) CHECK(m.outline.signed_distance(p) > -1e-6);
    }
    CHECK(worst_turn < 0.01);
}

TEST_CASE("fall lines are evenly spaced: none nearer than half the spacing, no open ground wider than it") {
    const TerrainModel m = build(raster(ellipse(10, 9, 8, 7), rolling_green, 0.5));
    const double spacing = 0.8;
    Progress progress;
    const auto lines = fall_lines(m, spacing, progress);
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t a = 0; a < lines.size(); ++a)
        for (std::size_t b = a + 1; b < lines.size(); ++b)
            for (Vec2 p : lines[a].points)
                for (Vec2 q : lines[b].points) nearest = std::min(nearest, distance(p, q));
    CHECK(nearest > 0.3 * spacing);  // the last piece to the edge may close in

    double widest = 0;
    for (double y = 3; y < 15; y += 0.4)
        for (double x = 3; x < 17; x += 0.4) {
            if (m.outline.signed_distance({x, y}) < 1 || slope_ratio(m.surface->jet(x, y)) < 0.003) continue;
            double reach = std::numeric_limits<double>::infinity();
            for (const FallLine& line : lines)
                for (Vec2 p : line.points) reach = std::min(reach, distance(p, {x, y}));
            widest = std::max(widest, reach);
        }
    CHECK(widest < 1.5 * spacing);
}

TEST_CASE("on a plane fall lines are straight and cross the whole green, on level ground there are none") {
    const auto f = [](double x, double) { return SurfaceJet{-0.02 * x, -0.02, 0, 0, 0, 0}; };
    const Outline green({{2, 1}, {18, 1}, {18, 9.5}, {2, 9.5}}, OutlineSource::drawn);
    Progress progress;
    const auto lines = fall_lines(build(raster(green, f, 0.5)), 1.0, progress);
    CHECK(lines.size() == 9);  // through the middle, y = 5.25, and every metre from there
    for (const FallLine& line : lines) {
        CHECK(std::abs(line.points.front().x - 2) < 1e-3);
        CHECK(std::abs(line.points.back().x - 18) < 1e-3);
        CHECK(std::abs(line.points.front().y - line.points.back().y) < 1e-6);
    }
    const auto level = [](double, double) { return SurfaceJet{1, 0, 0, 0, 0, 0}; };
    CHECK(fall_lines(build(raster(green, level, 0.5)), 1.0, progress).empty());
    CHECK_THROWS_AS(fall_lines(build(raster(green, level, 0.5)), 0, progress), Error);
}
