#include "core/plan/hole_rotation.h"

#include "core/base/units.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;

TEST_CASE("thirds lie along the long axis whichever way the green is turned") {
    for (const double bearing : {0.0, 30.0, 75.0, 120.0, 170.0}) {
        const Vec2 u = direction_of_bearing(bearing);
        std::vector<Vec2> ring;
        for (int k = 0; k < 90; ++k) {
            const double a = 2 * kPi * k / 90;
            ring.push_back(Vec2{50, 50} + 15 * std::cos(a) * u + 8 * std::sin(a) * right_of(u));
        }
        const GreenThirds t = green_thirds(Outline(ring, OutlineSource::drawn));
        CHECK(std::abs(std::abs(dot(t.axis, u)) - 1) < 1e-9);
        CHECK(t.along(Vec2{50, 50}) == 1);
        CHECK(t.along(Vec2{50, 50} + 10 * t.axis) == 2);
        CHECK(t.along(Vec2{50, 50} - 10 * t.axis) == 0);
        CHECK(t.across(Vec2{50, 50} + 6 * right_of(t.axis)) == 2);
    }
}

TEST_CASE("ends are named by the compass") {
    const GreenThirds t = green_thirds(ellipse({0, 0}, 8, 15));
    CHECK(t.name({0, 12}) == "north third, centre");
    CHECK(t.name({-6, -12}) == "south third, west side");
    CHECK(green_thirds(ellipse({0, 0}, 10, 10)).name({0, 9}) == "north third, centre");
}

TEST_CASE("thirds come in turn where places are alike") {
    std::vector<HolePosition> pool;
    for (int i = -1; i <= 1; ++i)
        for (int j = -1; j <= 1; ++j) {
            HolePosition h;
            h.p = {5.0 * i, 10.0 * j};
            h.score = 0.5;
            pool.push_back(h);
        }
    const GreenThirds t = green_thirds(ellipse({0, 0}, 8, 15));
    const auto picks = rotate_holes(pool, t, 9, {}, 3.0);
    int along[3] = {}, across[3] = {};
    for (int k : picks) {
        REQUIRE(k >= 0);
        ++along[t.along(pool[k].p)];
        ++across[t.across(pool[k].p)];
    }
    for (int k = 0; k < 3; ++k) {
        CHECK(along[k] == 3);
        CHECK(across[k] == 3);
    }
}

TEST_CASE("a day without a place that keeps its distance has no hole") {
    HolePosition only;
    only.score = 1;
    const auto picks = rotate_holes({only}, green_thirds(ellipse({0, 0}, 8, 15)), 9, {}, 3.0);
    CHECK(picks == std::vector<int>{0, -1, -1, -1, -1, -1, -1, -1, 0});
}
