#include "core/plan/hole_judge.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/plan/hole_settings.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>
#include <cstring>
#include <tbb/global_control.h>

using namespace brae;
using namespace brae::test;

namespace {

// Coarse, so that a whole green is judged in a second.
HoleLimits coarse(double spacing = 1) {
    HoleLimits limits;
    limits.spacing_m = spacing;
    limits.spot_spacing_m = 1;
    return limits;
}

GreenJudgement judged(const TerrainModel& green, double speed, const HoleLimits& limits, HoleScope scope = HoleScope::only_possible, GreenAround around = {}) {
    Progress progress;
    return HoleJudge(green, std::move(around), speed, limits).judge_green(scope, progress);
}

std::vector<Vec2> rectangle(double x0, double y0, double x1, double y1) { return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}; }

}  // namespace

// A level disc: every place farther from the edge than the band is fair, whatever balls do (check-values.md, Edge band, derived).
TEST_CASE("on a level disc the fair places are those farther from the edge than the band") {
    const TerrainModel green = green_of(tilted(0, {1, 0}), ellipse({0, 0}, 9, 9, 360));
    for (const double speed : {8.0, 12.0}) {
        const HoleLimits limits = coarse(0.75);
        const GreenJudgement all = judged(green, speed, limits);
        CHECK(all.places.size() > 400);
        for (const HolePosition& h : all.places) CHECK_MESSAGE(h.fair == (green.outline.signed_distance(h.p) >= limits.edge_m), h.p.x << " " << h.p.y << " " << h.why);
        CHECK(all.fair > 100);
        CHECK(all.fair_area_m2 == doctest::Approx(static_cast<double>(all.fair) * 0.75 * 0.75));
    }
}

TEST_CASE("on a plane too steep to stop on no place is fair, and the reason says what would allow one") {
    HoleLimits loose = coarse();
    loose.slope_ceiling = 0.2;
    loose.slope_times_speed = 2;
    loose.steep_times_speed = 2;
    const GreenJudgement none = judged(green_of(tilted(0.085, {0, -1}), ellipse({0, 0}, 7, 7)), 10, loose);
    CHECK(none.fair == 0);
    CHECK(none.why_none.find("fails on ") != std::string::npos);
    CHECK(none.why_none.find("would allow one") != std::string::npos);
}

// 30 / 2.9 = 10.34 (derived): the slope allows one up to 10.3 ft.
TEST_CASE("where no place is fair the closest limit is named and the speed told does allow one") {
    const TerrainModel green = green_of(tilted(0.029, {0, -1}), ellipse({0, 0}, 7, 7));
    const GreenJudgement none = judged(green, 13, coarse());
    CHECK(none.fair == 0);
    CHECK(none.why_none.find("fails on slope") != std::string::npos);
    CHECK(none.why_none.find("a green speed of 10.3 ft would allow one") != std::string::npos);
    REQUIRE(none.closest);
    CHECK(green.outline.signed_distance(*none.closest) > 0);
    CHECK(judged(green, 10.3, coarse()).fair > 0);
    CHECK(judged(green, 10.4, coarse()).fair == 0);
    const std::string small = judged(green_of(tilted(0.01, {0, -1}), ellipse({0, 0}, 3, 3)), 10, coarse()).why_none;
    CHECK(small.find("fails on edge") != std::string::npos);
    CHECK(small.find("no green speed") != std::string::npos);
    GreenAround covered;
    covered.closed = {rectangle(-20, -20, 20, 20)};
    CHECK(judged(green, 10, coarse(), HoleScope::only_possible, covered).why_none.find("closed zones cover all") != std::string::npos);
}

TEST_CASE("one place is judged as the whole green judges it, and its maps show it") {
    const TerrainModel green = crowned_green();
    const HoleLimits limits = coarse(2);
    const HoleJudge judge(green, {}, 10, limits);
    Progress progress;
    const GreenJudgement all = judge.judge_green(HoleScope::every_place, progress);
    const Raster slope = map_of(all, "slope"), putts = map_of(all, "putts"), least = map_of(all, "margin");
    int fair = 0, unfair = 0;
    for (std::size_t k = 0; k < all.places.size(); k += 5) {
        const HolePosition one = judge.judge(all.places[k].p);
        CHECK(one.why == all.places[k].why);
        CHECK(one.fair == all.places[k].fair);
        CHECK(one.criteria.size() >= 9);
        const int i = static_cast<int>(std::floor((one.p.x - slope.x0) / slope.cell)), j = static_cast<int>(std::floor((one.p.y - slope.y0) / slope.cell));
        CHECK(slope.at(i, j) == doctest::Approx(percent(one.slope)));
        CHECK(std::isfinite(putts.at(i, j)));
        CHECK((least.at(i, j) >= 0) == one.fair);
        (one.fair ? fair : unfair) += 1;
        if (!one.fair) CHECK(one.why.find("not fair: ") == 0);
    }
    CHECK(fair > 0);
    CHECK(unfair > 3);
    CHECK_THROWS_AS(map_of(all, "luck"), Error);
}

TEST_CASE("the judgement is the same bits on one thread and on four") {
    const TerrainModel green = crowned_green();
    const auto run = [&](std::size_t threads) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        return judged(green, 10, coarse(1.5));
    };
    const GreenJudgement one = run(1), four = run(4);
    REQUIRE(one.places.size() == four.places.size());
    for (std::size_t k = 0; k < one.places.size(); ++k) {
        CHECK(one.places[k].why == four.places[k].why);
        CHECK(std::memcmp(&one.places[k].score, &four.places[k].score, sizeof(double)) == 0);
        CHECK(std::memcmp(&one.places[k].putts, &four.places[k].putts, sizeof(double)) == 0);
    }
}

TEST_CASE("a faster green is fair over less of its area, and a hole that stops being fair says when and by what") {
    Progress progress;
    const auto areas = fair_area_at(crowned_green(), {}, {8, 10, 12, 13}, coarse(1.5), progress);
    REQUIRE(areas.size() == 4);
    for (std::size_t k = 1; k < 4; ++k) CHECK(areas[k].area_m2 <= areas[k - 1].area_m2);
    CHECK(areas.front().area_m2 > areas.back().area_m2);
    CHECK_THROWS_AS(fair_area_at(crowned_green(), {}, {40}, coarse(), progress), Error);

    // 30 / 2.49 = 12.05 (derived).
    const TerrainModel plane = green_of(tilted(0.0249, {0, -1}), ellipse({0, 0}, 7, 7));
    const FairUntil until = fair_until(plane, {}, {0, 0}, 9.4, coarse(), progress);
    CHECK(until.fair_now);
    CHECK(until.speed_ft == doctest::Approx(12.0));
    CHECK(until.criterion == "slope");
    CHECK(forecast_warning(until, 12).empty());
    CHECK(forecast_warning(until, 12.5).find("above 12.0 ft and 12.5 ft is forecast") != std::string::npos);
    CHECK(fair_until(plane, {}, {0, 0}, 13, coarse(), progress).criterion == "slope");
    CHECK(fair_until(green_of(tilted(0.005, {0, -1}), ellipse({0, 0}, 7, 7)), {}, {0, 0}, 10, coarse(), progress).speed_ft == 16.0);
}

// Work looks whether it should stop at least once a family of a place; a place takes milliseconds.
TEST_CASE("a judgement stops when it is asked to, and looks for that at every place") {
    const TerrainModel green = gentle_green();
    const HoleJudge judge(green, {}, 10, coarse(2));
    Progress whole;
    const GreenJudgement all = judge.judge_green(HoleScope::every_place, whole);
    CHECK(whole.asked() >= 4 * all.places.size());
    Progress* self = nullptr;
    Progress stopped([&](double fraction, const std::string&) {
        if (fraction > 0.2) self->cancel();
    });
    self = &stopped;
    CHECK_THROWS_WITH_AS(judge.judge_green(HoleScope::every_place, stopped), "cancelled", Error);
    CHECK_THROWS_AS(HoleJudge(green, {}, 40, coarse()), Error);
    CHECK_THROWS_AS(HoleJudge(green, {}, 0, coarse()), Error);
    CHECK_THROWS_AS(judge.judge({std::nan(""), 1}), Error);
    CHECK_THROWS_WITH_AS(HoleJudge(green, {}, 10, coarse(0)), doctest::Contains("spacing_m"), Error);
}
