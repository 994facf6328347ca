#include "core/plan/hole_positions.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/plan/zones.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>
#include <cstring>

using namespace brae;
using namespace brae::test;

namespace {

HolePlan plan(const TerrainModel& green, double speed, int days = 0, const HoleLimits& limits = {},
              const std::vector<Vec2>& recent = {}, const std::vector<std::vector<Vec2>>& zones = {}) {
    Progress progress;
    return plan_holes(green, speed, days, recent, zones, limits, progress);
}

std::vector<Vec2> rectangle(double x0, double y0, double x1, double y1) { return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}; }

}  // namespace

// check-values.md, Edge band by geometry (derived): a round green of 5,000 sq ft keeps 38.9 % inside a 15 ft band,
// 48.9 % inside 12 ft, 56.2 % inside 10 ft, +/- 1 % on a 0.25 m grid. On level ground nothing but the edge counts, so
// this also shows that every candidate farther from the edge than the band is fair.
TEST_CASE("a level disc keeps the share of its area that geometry says, and all of it is fair") {
    const double radius = std::sqrt(5000 * kFoot * kFoot / kPi);
    const TerrainModel green = green_of(tilted(0, {1, 0}), ellipse({0, 0}, radius, radius, 720));
    struct Row { double band_ft, share; };
    for (const Row& row : {Row{15, 0.389}, Row{12, 0.489}, Row{10, 0.562}}) {
        HoleLimits limits;
        limits.edge_m = row.band_ft * kFoot;
        limits.spacing_m = 0.25;
        const HolePlan p = plan(green, 10, 0, limits);
        std::size_t inside = 0;
        for (double j = -60; j <= 60; ++j)
            for (double i = -60; i <= 60; ++i)
                if (green.outline.signed_distance({i * 0.25, j * 0.25}) >= limits.edge_m) ++inside;
        CHECK(p.fair == inside);
        CHECK(std::abs(static_cast<double>(p.fair) / static_cast<double>(p.candidates) - row.share) < 0.01);
        CHECK(p.fair_area_m2 == doctest::Approx(row.share * green.outline.area_m2()).epsilon(0.02));
    }
}

// check-values.md / issue of the sphere's limit: e = (5/7) g s / a >= 1 (derived); at S = 10 that is 7.8 %.
TEST_CASE("on a plane at a slope where a ball cannot stop no candidate is fair") {
    HoleLimits loose;
    loose.slope_ceiling = 0.2;
    loose.slope_times_speed = 2;
    const HolePlan steep = plan(green_of(tilted(0.085, {0, -1}), ellipse({0, 0}, 12, 12)), 10, 0, loose);
    CHECK(steep.fair == 0);
    CHECK(steep.positions.empty());
    CHECK(steep.why_none.find("stopping") != std::string::npos);
    CHECK(steep.why_none.find("would allow one") != std::string::npos);
}

TEST_CASE("where no place is fair the closest limit is named and the speed that would allow one holds") {
    const TerrainModel green = green_of(tilted(0.029, {0, -1}), ellipse({0, 0}, 12, 12));
    const HolePlan fast = plan(green, 13);
    CHECK(fast.fair == 0);
    CHECK(fast.why_none.find("fails on slope") != std::string::npos);
    // 30 / 2.9 = 10.34, to a tenth below (derived).
    CHECK(fast.why_none.find("a green speed of 10.3 ft would allow one") != std::string::npos);
    CHECK(plan(green, 10.3).fair > 0);
    CHECK(plan(green, 10.4).fair == 0);
    // Too small a green is no matter of speed.
    const HolePlan small = plan(green_of(tilted(0.01, {0, -1}), ellipse({0, 0}, 3, 3)), 10);
    CHECK(small.why_none.find("fails on edge") != std::string::npos);
    CHECK(small.why_none.find("no green speed") != std::string::npos);
    CHECK(plan(green, 10, 0, {}, {}, {rectangle(-20, -20, 20, 20)}).why_none.find("closed zones") != std::string::npos);
}

TEST_CASE("today's positions are ranked, fair, apart from one another, from recent holes and from zones") {
    const TerrainModel green = gentle_green();
    const std::vector<Vec2> recent = {{14, 12}, {9, 13}};
    const std::vector<std::vector<Vec2>> zones = {rectangle(16, 5, 30, 11)};
    const HolePlan p = plan(green, 10, 0, {}, recent, zones);
    REQUIRE(p.positions.size() >= 3);
    CHECK(p.positions.size() <= 10);
    for (std::size_t i = 0; i < p.positions.size(); ++i) {
        const HolePosition& h = p.positions[i];
        CHECK(h.fair);
        CHECK(judge_hole(green, h.p, 10, {}).fair);
        CHECK(judge_hole(green, h.p, 10, {}).score == doctest::Approx(h.score).epsilon(1e-12));
        CHECK_FALSE(h.why.empty());
        CHECK_FALSE(inside_any(zones, h.p));
        if (i > 0) CHECK(h.score <= p.positions[i - 1].score);
        for (Vec2 r : recent) CHECK(distance(r, h.p) >= 3.0);
        for (std::size_t k = 0; k < i; ++k) CHECK(distance(p.positions[k].p, h.p) >= 3.0);
    }
}

// Balance over days and 3 m from the holes of the last 7 days: check-values.md, Changing holes (memory, common practice).
TEST_CASE("a rotation of two weeks keeps its distances and visits every part of the green") {
    const TerrainModel green = gentle_green();
    const std::vector<Vec2> recent = {{14, 12}};
    const HolePlan p = plan(green, 9, 14, {}, recent);
    REQUIRE(p.positions.size() == 14);
    CHECK(p.why_none.empty());
    int low = 0, middle = 0, high = 0;
    for (int d = 0; d < 14; ++d) {
        CHECK(p.positions[d].day == std::to_string(d + 1));
        if (d < 7) CHECK(distance(p.positions[d].p, recent[0]) >= 3.0);
        for (int e = std::max(0, d - 7); e < d; ++e) CHECK(distance(p.positions[d].p, p.positions[e].p) >= 3.0);
        // The long axis of this green runs east and west: 1 to 27 m.
        (p.positions[d].p.x < 9.667 ? low : p.positions[d].p.x < 18.333 ? middle : high) += 1;
    }
    CHECK(low >= 3);
    CHECK(middle >= 4);
    CHECK(high >= 3);
}

TEST_CASE("a green too small for a rotation says how many days it can give") {
    const HolePlan p = plan(green_of(tilted(0.01, {0, -1}), ellipse({0, 0}, 5.5, 5.5)), 10, 7);
    CHECK(p.positions.size() < 7);
    CHECK(p.positions.size() >= 1);
    CHECK(p.why_none.find("of 7 days") != std::string::npos);
}

TEST_CASE("the same input gives the same bits") {
    const TerrainModel green = crowned_green();
    const HolePlan a = plan(green, 9, 5), b = plan(green, 9, 5);
    REQUIRE(a.positions.size() == b.positions.size());
    for (std::size_t k = 0; k < a.positions.size(); ++k) {
        CHECK(std::memcmp(&a.positions[k].p, &b.positions[k].p, sizeof(Vec2)) == 0);
        CHECK(std::memcmp(&a.positions[k].score, &b.positions[k].score, sizeof(double)) == 0);
    }
}

TEST_CASE("days out of range are wrong use and a cancelled plan stops") {
    Progress progress;
    CHECK_THROWS_AS(plan_holes(gentle_green(), 10, 15, {}, {}, {}, progress), Error);
    CHECK_THROWS_AS(plan_holes(gentle_green(), 10, -1, {}, {}, {}, progress), Error);
    progress.cancel();
    CHECK_THROWS_AS(plan_holes(gentle_green(), 10, 0, {}, {}, {}, progress), Error);
}
