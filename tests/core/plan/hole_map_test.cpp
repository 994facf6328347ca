#include "core/base/error.h"
#include "core/plan/hole_positions.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

TEST_CASE("the maps say of each cell what the judgement of its centre says") {
    const TerrainModel green = crowned_green();
    Progress progress;
    const HoleMaps maps = map_holes(green, 10, {}, progress);
    int fair = 0, unfair = 0;
    for (int j = 0; j < maps.margin.rows; j += 3)
        for (int i = 0; i < maps.margin.columns; i += 3) {
            const Vec2 p = maps.margin.centre(i, j);
            if (!green.outline.contains(p)) {
                CHECK(std::isnan(maps.margin.at(i, j)));
                continue;
            }
            const HolePosition h = judge_hole(green, p, 10, {});
            CHECK(h.fair == (maps.margin.at(i, j) >= 0));
            CHECK(maps.slope_pct.at(i, j) == doctest::Approx(100 * h.slope));
            CHECK(maps.edge_m.at(i, j) == doctest::Approx(h.edge_m));
            (h.fair ? fair : unfair) += 1;
        }
    CHECK(fair > 20);
    CHECK(unfair > 20);
}

TEST_CASE("a faster green is fair over less of its area") {
    Progress progress;
    const auto areas = fair_area_by_speed(crowned_green(), {8, 9, 10, 11, 12, 13}, {}, {}, progress);
    REQUIRE(areas.size() == 6);
    for (std::size_t k = 1; k < 6; ++k) CHECK(areas[k].area_m2 <= areas[k - 1].area_m2);
    CHECK(areas.front().area_m2 > areas.back().area_m2);
    CHECK_THROWS_AS(fair_area_by_speed(crowned_green(), {40}, {}, {}, progress), Error);
}

// 30 / S % against a slope of 2.5 %: S = 12.0 (derived).
TEST_CASE("the fastest fair speed of a place on a plane is 30 over its slope") {
    const TerrainModel green = green_of(tilted(0.0249, {0, -1}), ellipse({0, 0}, 12, 12));
    CHECK(fastest_fair_speed(green, {0, 0}, {}).value() == doctest::Approx(12.0));
    CHECK_FALSE(fastest_fair_speed(green, {0, 11}, {}).has_value());
    CHECK(fastest_fair_speed(green_of(tilted(0.01, {0, -1}), ellipse({0, 0}, 12, 12)), {0, 0}, {}).value() == 16.0);
}
