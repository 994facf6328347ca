#include "core/plan/hole_criteria.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

const Criterion& named(const HolePosition& h, const std::string& name) {
    for (const Criterion& c : h.criteria)
        if (c.name == name) return c;
    FAIL("no criterion " << name);
    return h.criteria.front();
}

// Two planes of 2 % that meet in a ridge at y = `ridge`.
TerrainModel ridged(double ridge) {
    return green_of([=](double, double y) { return 100 - 0.02 * std::abs(y - ridge); }, ellipse({0, 0}, 10, 10), 0.10);
}

}  // namespace

// check-values.md, Hole positions; derived from Lemons 2008 ("of uniform grade").
TEST_CASE("on a plane every radius is uniform") {
    const TerrainModel green = green_of(tilted(0.02, {0.6, 0.8}), ellipse({0, 0}, 12, 12));
    for (const double radius : {0.3, 0.6, 0.9144, 2.0, 4.0}) {
        const GroundRound ground = ground_round(green, {0.3, -0.4}, radius);
        CHECK(ground.change < 1e-9);
        CHECK(ground.slope == doctest::Approx(0.02).epsilon(1e-9));
        CHECK(distance(ground.downhill, {0.6, 0.8}) < 1e-6);
    }
}

// check-values.md: a ridge 1 ft away fails, 4 ft away passes (derived from 3 ft of constant slope, Lemons 2008).
TEST_CASE("a ridge one foot away fails and one four feet away passes") {
    const HoleLimits limits;
    CHECK_FALSE(named(judge_hole(ridged(1 * kFoot), {0, 0}, 10, limits), "change of slope").pass);
    CHECK_FALSE(named(judge_hole(ridged(-1 * kFoot), {0, 0}, 10, limits), "change of slope").pass);
    CHECK(named(judge_hole(ridged(4 * kFoot), {0, 0}, 10, limits), "change of slope").pass);
    // The size of the slope is 2 % on both sides, so only the vector's departure can tell.
    CHECK(named(judge_hole(ridged(1 * kFoot), {0, 0}, 10, limits), "slope").pass);
}

TEST_CASE("the foot of a tier fails although each side of it is a plane") {
    const TerrainModel green = green_of([](double x, double) { return x < 0 ? 0.01 * x : 0.025 * x; }, ellipse({0, 0}, 10, 10), 0.10);
    CHECK_FALSE(judge_hole(green, {0.3, 0}, 10, {}).fair);
    CHECK(judge_hole(green, {-2.0, 0}, 10, {}).fair);
}

// check-values.md: two perpendicular 2 % readings make 2.828 % (derived).
TEST_CASE("two perpendicular readings of 2 % make 2.828 %") {
    const TerrainModel green = green_of([](double x, double y) { return 0.02 * x + 0.02 * y; }, ellipse({0, 0}, 12, 12));
    CHECK(named(judge_hole(green, {0, 0}, 10, {}), "slope").value == doctest::Approx(2.828).epsilon(0.0005));
}

// check-values.md: everyday default up to 3 % and 30/S % (common practice).
TEST_CASE("the slope allowed is 3 % on a slow green and 30 / S % on a fast one") {
    const HoleLimits limits;
    CHECK(allowed_slope(8, limits) == doctest::Approx(0.03));
    CHECK(allowed_slope(10, limits) == doctest::Approx(0.03));
    CHECK(allowed_slope(12, limits) == doctest::Approx(0.025));
    CHECK(allowed_slope(15, limits) == doctest::Approx(0.02));
    const TerrainModel green = green_of(tilted(0.027, {1, 0}), ellipse({0, 0}, 12, 12));
    CHECK(judge_hole(green, {0, 0}, 10, limits).fair);
    const HolePosition fast = judge_hole(green, {0, 0}, 12, limits);
    CHECK_FALSE(fast.fair);
    CHECK(fast.why.find("2.7 % is over the 2.5 % allowed at 12.0 ft") != std::string::npos);
}

// check-values.md, Straight up and down a plane (derived): a putt that runs p past on the level runs p / (1 - e) past
// straight downhill.
TEST_CASE("a putt at dead weight from straight above runs past by the closed form") {
    for (const double slope : {0.0, 0.01, 0.02, 0.03, 0.04}) {
        const TerrainModel green = green_of(tilted(slope, {0, -1}), ellipse({0, 0}, 12, 12));
        const double exact = kDeadWeightPastM / (1 - roll_ratio(slope, 10));
        CHECK(farthest_run_past(green, {0, 0}, {0, -1}, 10) == doctest::Approx(exact).epsilon(0.002));
    }
    // e at S = 10 and 2 % is 0.2554 (check-values.md, derived).
    CHECK(roll_ratio(0.02, 10) == doctest::Approx(0.2554).epsilon(0.0005));
}

TEST_CASE("stopping fails on a slope where the putt runs more than two feet past, whatever the slope limit says") {
    HoleLimits loose;
    loose.slope_ceiling = 0.2;
    loose.slope_times_speed = 2;
    // Dead weight runs 0.61 m past where 1 - e = 0.10 / 0.61: 6.55 % at S = 10 (derived).
    const auto at = [&](double slope) {
        return named(judge_hole(green_of(tilted(slope, {0, -1}), ellipse({0, 0}, 12, 12)), {0, 0}, 10, loose), "stopping");
    };
    CHECK(at(0.064).pass);
    CHECK_FALSE(at(0.067).pass);
    CHECK(at(0.09).sentence.find("does not stop") != std::string::npos);
}

TEST_CASE("a place off the green is judged by its distance alone and nothing is not a number") {
    const HolePosition out = judge_hole(gentle_green(), {40, 40}, 10, {});
    CHECK_FALSE(out.fair);
    CHECK(out.why.find("outside the green") != std::string::npos);
    CHECK(out.score == 0);
    const HolePosition near = judge_hole(gentle_green(), {14, 21.5}, 10, {});
    CHECK_FALSE(near.fair);
    CHECK(near.criteria.size() == 4);
    for (const Criterion& c : near.criteria) CHECK(std::isfinite(c.value));
    CHECK(near.why.find("short of the 3.7 m (4.0 paces) wanted") != std::string::npos);
}

TEST_CASE("a wrong speed, limit or place is wrong use") {
    const TerrainModel green = gentle_green();
    CHECK_THROWS_AS(judge_hole(green, {14, 12}, 40, {}), Error);
    CHECK_THROWS_AS(judge_hole(green, {14, 12}, 0, {}), Error);
    CHECK_THROWS_AS(judge_hole(green, {std::nan(""), 12}, 10, {}), Error);
    HoleLimits bad;
    bad.spacing_m = 0;
    CHECK_THROWS_AS(judge_hole(green, {14, 12}, 10, bad), Error);
    CHECK_THROWS_AS(judge_hole(TerrainModel{}, {14, 12}, 10, {}), Error);
}
