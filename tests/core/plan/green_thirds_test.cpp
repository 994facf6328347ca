#include "core/plan/green_thirds.h"

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
