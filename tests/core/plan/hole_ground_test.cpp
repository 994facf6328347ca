#include "core/plan/hole_ground.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/plan/hole_settings.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

const Criterion& named(const std::vector<Criterion>& rows, const std::string& name) {
    for (const Criterion& c : rows)
        if (c.name == name) return c;
    FAIL("no criterion " << name);
    return rows.front();
}

std::vector<Vec2> rectangle(double x0, double y0, double x1, double y1) { return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}; }

// Two planes of 2 % that meet in a ridge at y = `ridge`.
TerrainModel ridged(double ridge) {
    return green_of([=](double, double y) { return 100 - 0.02 * std::abs(y - ridge); }, ellipse({0, 0}, 10, 10), 0.10);
}

}  // namespace

// check-values.md: on a plane every radius is uniform; a ridge 1 ft away fails, 4 ft away passes (derived from Lemons 2008).
TEST_CASE("the grade is uniform everywhere on a plane and up to a ridge beside it") {
    const TerrainModel plane = green_of(tilted(0.02, {0.6, 0.8}), ellipse({0, 0}, 10, 10));
    CHECK(HoleGround(plane, {}, {}).uniform_m({0.3, -0.4}) == 2);
    for (const double feet : {1.0, 2.0, 4.0, 5.0}) {
        const TerrainModel green = ridged(feet * kFoot);
        const HoleGround ground(green, {}, {});
        // The spline of 0.1 m cells rounds the ridge over two cells.
        CHECK(ground.uniform_m({0, 0}) == doctest::Approx(feet * kFoot).epsilon(0.1 / (feet * kFoot)));
        CHECK(named(ground.judge({0, 0}, 10), "uniform grade").pass == (feet > 3));
    }
}

TEST_CASE("an edge beside a bunker or over a bank wants more, any other does not") {
    const TerrainModel green = green_of(tilted(0, {1, 0}), ellipse({0, 0}, 10, 10, 720));
    GreenAround around;
    around.guards = {rectangle(10.5, -2, 14, 2)};
    const HoleGround ground(green, around, {});
    // Four paces are kept to the west; to the east a fifth is wanted.
    const Vec2 west{-6.2, 0}, east{6.2, 0};
    CHECK(named(ground.judge(west, 10), "edge").pass);
    CHECK(named(ground.judge(west, 10), "guarded edge").pass);
    CHECK(named(ground.judge(east, 10), "edge").pass);
    CHECK_FALSE(named(ground.judge(east, 10), "guarded edge").pass);
    CHECK(named(ground.judge(east, 10), "guarded edge").value == doctest::Approx(3.8).epsilon(0.02));
    CHECK(named(ground.judge({5.3, 0}, 10), "guarded edge").pass);

    // A green that falls away by 10 % over its last metre to the east.
    const TerrainModel falling = green_of([](double x, double) { return x > 8.5 ? -0.10 * (x - 8.5) : 0.0; }, ellipse({0, 0}, 10, 10, 720), 0.10);
    const HoleGround banked(falling, {}, {});
    CHECK(banked.guarded_edge_m({6, 0}) == doctest::Approx(4.0).epsilon(0.03));
    CHECK(banked.guarded_edge_m({-6, 0}) > 10);
}

// Slope times speed over 54 is ground on which a ball gathers speed (field figure): at 10 ft 5.4 % (derived).
TEST_CASE("the distance from steep ground is that to its nearest point, and grows shorter with speed") {
    const TerrainModel green = green_of([](double x, double) { return x < 3 ? 0.0 : x < 5 ? 0.06 * (x - 3) : 0.12; }, ellipse({0, 0}, 10, 10), 0.10);
    const HoleGround ground(green, {}, {});
    CHECK(ground.steep_ground_m({0, 0}, 10) == doctest::Approx(3.2).epsilon(0.06));   // the spline rounds the foot, the lattice is 0.25 m
    CHECK(ground.steep_ground_m({0, 0}, 8) == 30);    // 6.75 % is allowed there
    CHECK(named(ground.judge({2.5, 0}, 10), "steep ground").pass == false);
    CHECK(named(ground.judge({1.5, 0}, 10), "steep ground").pass);
    // Down the rise a ball gathers speed; on 6 % at 13 ft e is 1.0 (derived), up it does not.
    CHECK(ground.runs_away({8, 0}, {0, 0}, 13.5));
    CHECK_FALSE(ground.runs_away({0, 0}, {8, 0}, 13.5));
    CHECK_FALSE(ground.runs_away({8, 0}, {0, 0}, 10));
}

TEST_CASE("the approach is free up to the edge, a bunker or closed ground on the side that is played from") {
    const TerrainModel green = green_of(tilted(0.01, {0, -1}), ellipse({0, 0}, 10, 10, 720));
    GreenAround around;
    CHECK(HoleGround(green, around, {}).judge({0, 0}, 10).size() == 5);   // no way of play, no row
    around.play = Vec2{0, 1};
    // The corridor's corners, 3 ft to the side, meet the circle first.
    CHECK(HoleGround(green, around, {}).approach_m({0, -5}, 10) == doctest::Approx(std::sqrt(100 - 0.9144 * 0.9144) - 5).epsilon(0.06));
    around.closed = {rectangle(-1, -4, 1, -3)};
    CHECK(HoleGround(green, around, {}).approach_m({0, 0}, 10) == doctest::Approx(3).epsilon(0.09));
    CHECK_FALSE(named(HoleGround(green, around, {}).judge({0, 0}, 10), "approach").pass);
    around.play = Vec2{1, 0};
    CHECK(named(HoleGround(green, around, {}).judge({0, 0}, 10), "approach").pass);
}

TEST_CASE("a place in a closed ring misses the row closed ground, by the ring's words where it has any, and no other place has that row") {
    const TerrainModel green = green_of(tilted(0.01, {0, -1}), ellipse({0, 0}, 10, 10));
    GreenAround around;
    around.closed = {rectangle(-1, -1, 1, 1), rectangle(2, 2, 4, 4)};
    around.closed_words = {"zone 'Scar' (worn)"};
    const HoleGround ground(green, around, {});
    CHECK_FALSE(named(ground.judge({0, 0}, 10), "closed ground").pass);
    CHECK(named(ground.judge({0, 0}, 10), "closed ground").sentence == "the place lies in the zone 'Scar' (worn)");
    CHECK(named(ground.judge({3, 3}, 10), "closed ground").sentence == "the place lies in the closed zone");
    CHECK(named(ground.judge({1, 0}, 10), "closed ground").pass == false);   // its edge belongs to it
    for (const Criterion& c : ground.judge({-3, 0}, 10)) CHECK(c.name != "closed ground");
}

TEST_CASE("off the green only the edge is told; a zone of two corners and a green without outline are refused") {
    const TerrainModel green = gentle_green();
    const auto rows = HoleGround(green, {}, {}).judge({60, 60}, 10);
    REQUIRE(rows.size() == 1);
    CHECK_FALSE(rows[0].pass);
    GreenAround around;
    around.closed = {{{0, 0}, {1, 1}}};
    CHECK_THROWS_WITH_AS(HoleGround(green, around, {}), doctest::Contains("2 corners"), Error);
    CHECK_THROWS_WITH_AS(HoleGround(TerrainModel{}, {}, {}), doctest::Contains("no outline"), Error);
}
