#include "core/solve/holing_window.h"

#include "core/base/constants.h"
#include "core/base/units.h"
#include "core/roll/capture.h"
#include "core/roll/capture_table.h"
#include "core/roll/green_speed.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;

TEST_CASE("on the level the window is what mechanics says of straight lines") {
    const auto level = test::plane(0, 1, 0);
    const double d = 3, a = level_deceleration(10);
    const auto runs = [&](double metres) { return std::sqrt(2 * a * metres); };
    for (CaptureModel model : {CaptureModel::free_fall, CaptureModel::rim})
        for (double past : {0.0, 0.3}) {
            PuttOptions options;
            options.capture = model;
            const auto answer = solve_putt(level, test::wide_green(), {{0, 0}, {d, 0}, 10, past}, options);
            REQUIRE(answer.solutions.size() == 1);
            CHECK(answer.capture == model);
            const PuttRead& read = answer.solutions[0];
            REQUIRE(read.has_window);
            CHECK(read.launch_mps == doctest::Approx(runs(d + past)));
            // The limit at an offset, told at the closest approach: free fall as it is, the rim's less what the
            // resistance takes from the near rim on.
            const auto fastest = [&](double offset) {
                if (model == CaptureModel::free_fall) return free_fall_capture_speed(offset);
                const double v = tabled_capture_limit(offset, 0, 0).all_drop_mps;
                return std::sqrt(v * v - 2 * a * std::sqrt(kHoleRadius * kHoleRadius - offset * offset));
            };
            // Slow: what just brings its centre over the near rim. Fast: the limit at the centre.
            CHECK(read.window.slow_mps == doctest::Approx(runs(d - kHoleRadius)).epsilon(2e-5));
            CHECK(read.window.fast_mps == doctest::Approx(std::hypot(runs(d), fastest(0))).epsilon(2e-5));
            // Left and right alike: where the hole at that offset just takes the speed there (derived).
            CHECK(read.window.left_deg == doctest::Approx(-read.window.right_deg).epsilon(1e-3));
            if (past > 0) {
                const double offset = d * std::sin(radians(read.window.right_deg));
                const double speed = std::sqrt(2 * a * (d + past - std::sqrt(d * d - offset * offset)));
                const bool at_speed = std::abs(fastest(offset) - speed) < 1e-3;
                const bool at_last = model == CaptureModel::free_fall && std::abs(offset - (kHoleRadius - kBallRadius)) < 1e-5;
                CHECK((at_speed || at_last));
            } else {
                // A dying ball uses the hole nearly to its rim: it comes to rest over it.
                CHECK(read.window.right_deg == doctest::Approx(degrees(2 * std::asin(kHoleRadius / 2 / d))).epsilon(1e-3));
            }
        }
}

TEST_CASE("the rim's window is the wider one") {
    const auto level = test::plane(0.02, 0.6, 0.8);
    PuttOptions options;
    options.capture = CaptureModel::rim;
    const PuttQuestion question{{0, 0}, {3, 0}, 10, 0.3};
    const HolingWindow rim = solve_putt(level, test::wide_green(), question, options).solutions.at(0).window;
    options.capture = CaptureModel::free_fall;
    const HolingWindow fall = solve_putt(level, test::wide_green(), question, options).solutions.at(0).window;
    CHECK(rim.left_deg < fall.left_deg);
    CHECK(rim.right_deg > fall.right_deg);
    CHECK(rim.fast_mps > fall.fast_mps);
}

TEST_CASE("just inside the window a ball is holed and just outside it is not") {
    const auto surface = test::wavy(4);
    const Outline green = test::wide_green();
    const Vec2 ball{-2, -1}, hole{1.5, 0.5};
    for (double past : {0.0, 0.1, 0.3}) {
        for (const PuttRead& read : solve_putt(surface, green, {ball, hole, 10, past}).solutions) {
            REQUIRE(read.has_window);
            const double angle = std::atan2(read.direction.y, read.direction.x);
            const auto holes = [&](double turn_deg, double speed) {
                RollOptions o;
                o.hole = hole;
                const double to = angle - radians(turn_deg);
                return roll(surface, green, ball, {std::cos(to), std::sin(to)}, speed, 10, o).end == RollEnd::holed;
            };
            const HolingWindow& w = read.window;
            CHECK(w.left_deg < 0);
            CHECK(w.right_deg > 0);
            CHECK(w.slow_mps < read.launch_mps);
            CHECK(w.fast_mps > read.launch_mps);
            for (double f : {0.2, 0.6, 0.995}) {
                CHECK(holes(f * w.left_deg, read.launch_mps));
                CHECK(holes(f * w.right_deg, read.launch_mps));
                CHECK(holes(0, read.launch_mps + f * (w.slow_mps - read.launch_mps)));
                CHECK(holes(0, read.launch_mps + f * (w.fast_mps - read.launch_mps)));
            }
            CHECK_FALSE(holes(1.005 * w.left_deg, read.launch_mps));
            CHECK_FALSE(holes(1.005 * w.right_deg, read.launch_mps));
            CHECK_FALSE(holes(0, read.launch_mps + 1.005 * (w.slow_mps - read.launch_mps)));
            CHECK_FALSE(holes(0, read.launch_mps + 1.005 * (w.fast_mps - read.launch_mps)));
        }
    }
}

TEST_CASE("a pace too fast for the hole has no window") {
    const auto answer = solve_putt(test::plane(0, 1, 0), test::wide_green(), {{0, 0}, {3, 0}, 10, 4.5});
    REQUIRE(answer.solutions.size() == 1);
    CHECK_FALSE(answer.solutions[0].has_window);
}
