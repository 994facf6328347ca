#include "core/plan/hole_criteria.h"

#include "core/base/units.h"
#include "core/plan/hole_ground.h"
#include "core/plan/hole_judge.h"
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

std::vector<Criterion> ground(const TerrainModel& green, Vec2 p, double speed = 10, const HoleLimits& limits = {}) {
    return HoleGround(green, {}, limits).judge(p, speed);
}

// The whole judgement, from few spots.
HolePosition judged(const TerrainModel& green, Vec2 p, double speed = 10) {
    HoleLimits limits;
    limits.spot_spacing_m = 1;
    return HoleJudge(green, {}, speed, limits).judge(p);
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
        const GroundRound round = ground_round(green, {0.3, -0.4}, radius);
        CHECK(round.change < 1e-9);
        CHECK(round.slope == doctest::Approx(0.02).epsilon(1e-9));
    }
}

// check-values.md: a ridge 1 ft away fails, 4 ft away passes (derived from 3 ft of constant slope, Lemons 2008).
TEST_CASE("a ridge one foot away fails and one four feet away passes") {
    CHECK_FALSE(named(ground(ridged(1 * kFoot), {0, 0}), "change of slope").pass);
    CHECK_FALSE(named(ground(ridged(-1 * kFoot), {0, 0}), "change of slope").pass);
    CHECK(named(ground(ridged(4 * kFoot), {0, 0}), "change of slope").pass);
    // The size of the slope is 2 % on both sides, so only the vector's departure can tell.
    CHECK(named(ground(ridged(1 * kFoot), {0, 0}), "slope").pass);
    CHECK_FALSE(judged(ridged(1 * kFoot), {0, 0}).fair);
    CHECK(judged(ridged(4 * kFoot), {0, 0}).fair);
}

TEST_CASE("the foot of a tier fails although each side of it is a plane") {
    const TerrainModel green = green_of([](double x, double) { return x < 0 ? 0.01 * x : 0.025 * x; }, ellipse({0, 0}, 10, 10), 0.10);
    CHECK_FALSE(judged(green, {0.3, 0}).fair);
    CHECK(judged(green, {-2.0, 0}).fair);
}

// check-values.md: two perpendicular 2 % readings make 2.828 % (derived).
TEST_CASE("two perpendicular readings of 2 % make 2.828 %") {
    const TerrainModel green = green_of([](double x, double y) { return 0.02 * x + 0.02 * y; }, ellipse({0, 0}, 12, 12));
    CHECK(named(ground(green, {0, 0}), "slope").value == doctest::Approx(2.828).epsilon(0.0005));
}

// check-values.md: everyday default up to 3 % and 30/S % (common practice).
TEST_CASE("the slope allowed is 3 % on a slow green and 30 / S % on a fast one") {
    const HoleLimits limits;
    CHECK(allowed_slope(8, limits) == doctest::Approx(0.03));
    CHECK(allowed_slope(10, limits) == doctest::Approx(0.03));
    CHECK(allowed_slope(12, limits) == doctest::Approx(0.025));
    CHECK(allowed_slope(15, limits) == doctest::Approx(0.02));
    const TerrainModel green = green_of(tilted(0.027, {1, 0}), ellipse({0, 0}, 12, 12));
    CHECK(judged(green, {0, 0}, 10).fair);
    const HolePosition fast = judged(green, {0, 0}, 12);
    CHECK_FALSE(fast.fair);
    CHECK(fast.why.find("2.7 % is over the 2.5 % allowed at 12.0 ft") != std::string::npos);
}

// e at S = 10 and 2 % is 0.2554 (check-values.md, Straight up and down a plane, derived).
TEST_CASE("gravity over resistance is that of a rolling sphere") { CHECK(roll_ratio(0.02, 10) == doctest::Approx(0.2554).epsilon(0.0005)); }

// check-values.md, Edge band by geometry (derived): a round green of 5,000 sq ft keeps 38.9 % inside a 15 ft band,
// 48.9 % inside 12 ft, 56.2 % inside 10 ft, +/- 1 % on a 0.25 m grid. On level ground nothing but the edge counts.
TEST_CASE("a level disc keeps the share of its area that geometry says, and nothing else of the ground counts there") {
    const double radius = std::sqrt(5000 * kFoot * kFoot / kPi);
    const TerrainModel green = green_of(tilted(0, {1, 0}), ellipse({0, 0}, radius, radius, 720));
    struct Row { double band_ft, share; };
    for (const Row& row : {Row{15, 0.389}, Row{12, 0.489}, Row{10, 0.562}}) {
        HoleLimits limits;
        limits.edge_m = row.band_ft * kFoot;
        const HoleGround judge(green, {}, limits);
        int places = 0, open = 0;
        for (int j = -60; j <= 60; ++j)
            for (int i = -60; i <= 60; ++i) {
                const Vec2 p{0.25 * i, 0.25 * j};
                if (!green.outline.contains(p)) continue;
                ++places;
                bool all = true;
                for (const Criterion& c : judge.judge(p, 10)) all = all && c.pass;
                open += all;
                // The ring of 720 corners lies up to 0.1 mm inside the circle.
                if (const double room = radius - norm(p) - limits.edge_m; std::abs(room) > 2e-4) REQUIRE(all == (room > 0));
            }
        CHECK(std::abs(static_cast<double>(open) / places - row.share) < 0.01);
    }
}

TEST_CASE("a place off the green is judged by its distance alone and nothing is not a number") {
    const HolePosition out = judged(gentle_green(), {40, 40});
    CHECK_FALSE(out.fair);
    CHECK(out.criteria.size() == 1);
    CHECK(out.why.find("outside the green") != std::string::npos);
    CHECK(out.score == 0);
    const HolePosition near = judged(gentle_green(), {14, 21.5});
    CHECK_FALSE(near.fair);
    CHECK(near.criteria.size() >= 9);
    for (const Criterion& c : near.criteria) CHECK(std::isfinite(c.value));
    CHECK(near.why.find("short of the 3.7 m (4.0 paces) wanted") != std::string::npos);
}

TEST_CASE("a value that misses its limit by little is told with the digits that tell the two apart") {
    const HoleLimits limits;
    CHECK(edge_criterion(limits.edge_m - 0.004, limits).sentence == "3.65 m (3.996 paces) from the edge is short of the 3.66 m (4.000 paces) wanted");
    CHECK(edge_criterion(5, limits).sentence == "5.0 m (5.5 paces) from the edge meets the 3.7 m (4.0 paces) wanted");
    CHECK(slope_criterion(0.0302, 10, limits).sentence == "3.02 % is over the 3.00 % allowed at 10.0 ft");
}

TEST_CASE("a criterion's margin is 0 at its limit, 1 where it is comfortable and negative where it is missed") {
    const HoleLimits limits;
    CHECK(margin(slope_criterion(0.03, 10, limits)) == doctest::Approx(0));
    CHECK(margin(slope_criterion(0.01, 10, limits)) == doctest::Approx(1));
    CHECK(margin(slope_criterion(0.004, 10, limits)) == doctest::Approx(1));
    CHECK(margin(slope_criterion(0.045, 10, limits)) == doctest::Approx(-0.5));
    CHECK(margin(edge_criterion(limits.edge_m, limits)) == doctest::Approx(0));
    CHECK(margin(edge_criterion(2 * limits.edge_m, limits)) == doctest::Approx(1));
    CHECK(margin(edge_criterion(0.5 * limits.edge_m, limits)) == doctest::Approx(-0.5));
    CHECK(margin({"stopping", true, 100, 100, "%", "", true, true}) == 1);
    CHECK(margin({"from above", true, 0.10, 0.61, "m", ""}) == doctest::Approx(1));
}
