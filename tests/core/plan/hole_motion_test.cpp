#include "core/plan/hole_motion.h"

#include "core/base/units.h"
#include "core/plan/hole_criteria.h"
#include "core/plan/hole_settings.h"
#include "core/roll/green_speed.h"
#include "core/solve/hole_chance.h"
#include "core/solve/holing_window.h"
#include "core/solve/putt.h"
#include "tests/support/greens.h"
#include "tests/support/grounds.h"

#include <cmath>
#include <cstring>

using namespace brae;
using namespace brae::test;

namespace {

struct Bench {
    TerrainModel green;
    HoleLimits limits;
    double speed;
    HoleGround ground;
    LevelPutts level;
    HoleMotion motion;
    Bench(TerrainModel g, double s, HoleLimits l = {})
        : green(std::move(g)), limits(l), speed(s), ground(green, {}, limits), level(limits.player.errors(), s), motion(ground, s, level) {}
    MotionFacts at(Vec2 p) { return motion.judge(p, Progress()); }
    // Every n-th ball spot each way.
    std::vector<Vec2> every(int n) const {
        std::vector<Vec2> out;
        const Raster& r = motion.spots();
        for (int j = 0; j < r.rows; j += n)
            for (int i = 0; i < r.columns; i += n)
                if (green.outline.contains(r.centre(i, j))) out.push_back(r.centre(i, j));
        return out;
    }
};

TerrainModel plane_of(double slope, double radius = 8) { return green_of(tilted(slope, {0, -1}), ellipse({0, 0}, radius, radius)); }

TerrainModel waves(std::uint64_t seed, double half) {
    const Formula f = wavy(seed);
    return green_of([=](double x, double y) { return f.height(x, y); }, wide_green(half));
}

}  // namespace

TEST_CASE("on level ground every ball can be stopped, windows are the level ones and putts as many as the table says") {
    Bench b(plane_of(0), 10);
    const MotionFacts f = b.at({1, 2});
    CHECK(f.paces == 2);
    CHECK(f.stoppable == f.spots);
    CHECK(f.spots > 700);
    CHECK(f.run_past_m == 0);
    CHECK(f.window_share == doctest::Approx(1).epsilon(0.02));
    double mean = 0;
    const auto spots = b.every(kPuttsEvery);
    for (Vec2 p : spots) mean += b.level.expected(distance(p, {1, 2})) / static_cast<double>(spots.size());
    CHECK(f.mean_putts == doctest::Approx(mean).epsilon(0.02));
    CHECK(std::abs(f.easy_share - f.level_easy_share) < 0.03);
}

// Straight down a plane a ball that runs p past on the level runs p / (1 - e) (check-values.md, derived). The slowest pace tried
// is 0.03 m: within 0.61 m while e <= 0.951, which is 7.45 % at 10 ft (derived).
TEST_CASE("on a plane a ball can be stopped from everywhere up to the slope of the closed form, and from above not beyond") {
    for (const double slope : {0.02, 0.05, 0.065}) {
        const MotionFacts f = Bench(plane_of(slope), 10).at({0, 0});
        CHECK(f.lost == 0);
        CHECK(f.stoppable > 600);
    }
    Bench steep(plane_of(0.0765), 10);
    const MotionFacts f = steep.at({0, 0});
    CHECK(f.lost > 100);
    for (std::size_t k = 0; k < steep.motion.fates().size(); ++k) {
        const Vec2 p = steep.motion.spots().centre(static_cast<int>(k) % steep.motion.spots().columns, static_cast<int>(k) / steep.motion.spots().columns);
        if (p.y > std::abs(p.x) + 0.5) CHECK(steep.motion.fates()[k] != HoleMotion::Fate::stops);
    }
    CHECK_FALSE(motion_criteria(f, 10, {})[0].pass);
}

// check-values.md, Straight up and down a plane (derived): dead weight runs 0.10 m / (1 - e) past straight downhill. A ball whose
// aim is a hole radius off rests so far beside that; one that comes at an angle is led a little farther down by its miss.
TEST_CASE("from straight above on a plane the slowest putt runs past by the closed form and a hole radius to the side") {
    for (const double slope : {0.01, 0.02, 0.03, 0.04}) {
        const double past = kDeadWeightPastM / (1 - roll_ratio(slope, 10));
        const double found = Bench(plane_of(slope), 10).at({0, 0}).run_past_m;
        CHECK(found >= std::hypot(past, kHoleRadius) - 0.002);
        CHECK(found <= past + 2 * kHoleRadius);
    }
}

// e = (5/7) g s / a >= 1: at 10 ft from 7.8 % (check-values.md, derived).
TEST_CASE("on a plane on which no ball rests nothing can be stopped and nothing is not a number") {
    const MotionFacts f = Bench(plane_of(0.085), 10).at({0, 0});
    CHECK(f.stoppable == 0);
    CHECK(f.stoppable_share == 0);
    for (const Criterion& c : motion_criteria(f, 10, {})) {
        CHECK(std::isfinite(c.value));
        CHECK_FALSE(c.sentence.empty());
    }
    CHECK_FALSE(motion_criteria(f, 10, {})[0].pass);
}

// Against one putt at a time: solve_putt for the read and roll() at 1e-10 for the ball whose aim is a hole radius off.
TEST_CASE("how far past a putt from above runs is what single putts say") {
    Bench b(plane_of(0.03), 10);
    const Vec2 hole{0.5, -1};
    const MotionFacts f = b.at(hole);
    double worst = 0;
    std::size_t above = 0;
    for (Vec2 ball : b.every(kAboveEvery)) {
        const double away = distance(ball, hole);
        if (away < 0.3 || (ball.y - hole.y) < away * std::sqrt(0.5)) continue;
        const PuttAnswer putt = solve_putt(*b.green.surface, b.green.outline, {ball, hole, 10, kDeadWeightPastM}, {.window = false, .path = false});
        if (putt.solutions.empty()) continue;   // its path would leave the green
        ++above;
        const Vec2 u = unit(hole - ball);
        for (const double side : {-1.0, 1.0}) {
            const Vec2 d = u + ((*putt.solutions[0].aim_offset_m + side * kHoleRadius) / away) * right_of(u);
            worst = std::max(worst, distance(roll(*b.green.surface, b.green.outline, ball, d, putt.solutions[0].launch_mps, 10).stop(), hole));
        }
    }
    CHECK(f.above >= above);
    CHECK(above > 20);
    CHECK(f.run_past_m == doctest::Approx(worst).epsilon(0.01));
    // On the fall line: p / (1 - e) along it and a hole radius beside it.
    CHECK(f.run_past_m > kDeadWeightPastM / (1 - roll_ratio(0.03, 10)));
}

// Against the full calculation of expected strokes (core/solve/hole_chance.h): thousands of rolls for each spot.
TEST_CASE("expected putts are those of the full calculation within two hundredths on average") {
    for (const std::uint64_t seed : {1, 2}) {
        HoleLimits limits;
        limits.spot_spacing_m = 1.1;
        Bench b(waves(seed, 5), 10, limits);
        const Vec2 hole{1.2, -0.7};
        const MotionFacts f = b.at(hole);
        double sum = 0;
        std::size_t count = 0;
        for (Vec2 ball : b.every(kPuttsEvery)) {
            if (distance(ball, hole) < 0.2) continue;
            const PuttQuestion q{ball, hole, 10, kUsualPastM};
            const PuttAnswer putt = solve_putt(*b.green.surface, b.green.outline, q, {.window = false, .path = false});
            if (putt.solutions.empty()) continue;
            const PuttGround ground = putt_ground(*b.green.surface, b.green.outline, q);
            const Launch launch = launch_of(putt.solutions[0]);
            sum += expected_strokes(ground, holing_region(ground, launch), assumed_player(), launch, 10, kUsualPastM).strokes;
            ++count;
        }
        REQUIRE(count == f.putted);
        CHECK(std::abs(f.mean_putts - sum / static_cast<double>(count)) < 0.02);
    }
}

// Against holing_window, which halves real launches to what the hole takes.
TEST_CASE("the narrowest window from 1 to 2 m is that of single putts") {
    for (const double slope : {0.0, 0.03, 0.05}) {
        Bench b(plane_of(slope, 6), 11);
        const MotionFacts f = b.at({0.3, 0.2});
        double narrowest = 1e9;
        const Raster& r = b.motion.spots();
        const double half = b.level.half_width(speed_at_hole(kUsualPastM, 11));
        for (int j = 0; j < r.rows; ++j)
            for (int i = 0; i < r.columns; ++i) {
                const Vec2 ball = r.centre(i, j);
                const double away = distance(ball, {0.3, 0.2});
                if (!b.green.outline.contains(ball) || away < 0.95 || away > 2.05) continue;
                const PuttAnswer putt = solve_putt(*b.green.surface, b.green.outline, {ball, {0.3, 0.2}, 11, kUsualPastM}, {.path = false});
                REQUIRE(putt.solutions[0].has_window);
                const HolingWindow& w = putt.solutions[0].window;
                narrowest = std::min(narrowest, radians(w.right_deg - w.left_deg) / (2 * std::asin(half / away)));
            }
        CHECK(f.window_share == doctest::Approx(std::min(narrowest, 1.0)).epsilon(0.03));
    }
}

// By rolling: from a spot that is called lost no launch of a fine search rolls over the hole and rests within the limit; from
// one that is called stoppable some launch does.
TEST_CASE("below a steep tier the spots that are lost are those from which a search over launches finds no stop") {
    const double speed = 12.5;
    Bench b(green_of([](double, double y) { return 0.12 * (1 + std::tanh((y - 2) / 0.8)) + 0.005 * y; }, wide_green(6)), speed);
    const Vec2 hole{0, 0.6};
    const MotionFacts f = b.at(hole);
    CHECK(f.lost > 20);
    CHECK(f.stoppable > 200);
    const auto found = [&](Vec2 ball) {
        double nearest = 1e9;
        const double line = bearing_deg(hole - ball);
        for (double turn = -6; turn <= 6; turn += 0.5)
            for (double v = 0.4; v < 4; v *= 1.03) {
                RollOptions options;
                options.hole = hole;
                options.covered = true;
                options.tolerance = 1e-5;
                options.sample_step_m = 5;
                const RollPath path = roll(*b.green.surface, b.green.outline, ball, direction_of_bearing(line + turn), v, speed, options);
                if (path.end == RollEnd::stopped && path.pass && std::abs(path.pass->offset_m) < 0.15) nearest = std::min(nearest, distance(path.stop(), hole));
            }
        return nearest;
    };
    const Raster& r = b.motion.spots();
    int lost = 0, stops = 0;
    for (int j = 0; j < r.rows; j += 3)
        for (int i = 1; i < r.columns; i += 4) {
            const Vec2 ball = r.centre(i, j);
            const auto fate = b.motion.fates()[r.index(i, j)];
            // Straight above and below, where a search by degrees needs no aim.
            if (std::abs(ball.x) > 0.8) continue;
            if (fate == HoleMotion::Fate::lost) {
                ++lost;
                CHECK_MESSAGE(found(ball) > 0.5, ball.x << " " << ball.y);
            }
            if (fate == HoleMotion::Fate::stops) {
                ++stops;
                CHECK_MESSAGE(found(ball) < 0.7, ball.x << " " << ball.y);
            }
        }
    CHECK(lost >= 2);
    CHECK(stops >= 4);
}

TEST_CASE("a place's facts are the same bits whatever was judged before it") {
    Bench one(waves(3, 7), 10), two(waves(3, 7), 10);
    two.at({2, 3});
    two.at({-1, 0.5});
    const MotionFacts a = one.at({0.5, 1}), b = two.at({0.5, 1});
    for (const auto field : {&MotionFacts::run_past_m, &MotionFacts::easy_share, &MotionFacts::mean_putts, &MotionFacts::window_share, &MotionFacts::window_deg})
        CHECK(std::memcmp(&(a.*field), &(b.*field), sizeof(double)) == 0);
    CHECK(a.stoppable == b.stoppable);
}
