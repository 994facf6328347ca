#include "core/solve/putt.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "tests/support/brute_force.h"
#include "tests/support/grounds.h"
#include "tests/support/peer.h"

#include <cmath>
#include <limits>

using namespace brae;

namespace {

struct Worst { double offset = 0, speed = 0; int solved = 0; };

// Rolls every solution of many putts by the independent solver and keeps the worst miss.
Worst check_putts(const HeightField& surface, Random& random, int putts, double past_low, double past_high) {
    const Outline green = test::wide_green();
    PuttOptions options;
    options.window = false;
    options.green_speed_sigma_ft = 0;
    Worst worst;
    for (int i = 0; i < putts; ++i) {
        const Vec2 hole{random.uniform(-5, 5), random.uniform(-5, 5)};
        const double away = random.uniform(0.5, 8), turn = random.uniform(0, 2 * kPi);
        const Vec2 ball = hole + away * Vec2{std::cos(turn), std::sin(turn)};
        if (!green.contains(ball)) continue;
        const double speed_ft = random.uniform(7, 12), past = random.uniform(past_low, past_high);
        const PuttAnswer answer = solve_putt(surface, green, {ball, hole, speed_ft, past}, options);
        CHECK(answer.solutions.empty() != answer.why_none.empty());
        for (const PuttRead& read : answer.solutions) {
            ++worst.solved;
            const test::PeerPass pass = test::peer_roll(surface, ball.x, ball.y, read.direction.x, read.direction.y,
                                                        read.launch_mps, speed_ft, hole.x, hole.y, 1e-4);
            worst.offset = std::max(worst.offset, pass.offset);
            worst.speed = std::max(worst.speed, std::abs(pass.speed - speed_at_hole(past, speed_ft)));
        }
    }
    return worst;
}

}  // namespace

TEST_CASE("an independent solver that rolls the answers on wavy ground meets the hole at the asked speed") {
    Random random(11);
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        const auto surface = test::wavy(seed);
        const Worst worst = check_putts(surface, random, 30, 0.05, 1.0);
        CHECK(worst.solved > 20);
        CHECK(worst.offset < 1e-5);
        CHECK(worst.speed < 1e-4);
    }
}

TEST_CASE("an independent solver that rolls the answers on a rough spline meets the hole at the asked speed") {
    Random random(12);
    for (std::uint64_t seed = 1; seed <= 3; ++seed) {
        const SplineSurface surface = test::rough_spline(seed);
        const Worst worst = check_putts(surface, random, 20, 0.05, 1.0);
        CHECK(worst.solved > 12);
        CHECK(worst.offset < 1e-4);
        CHECK(worst.speed < 1e-3);
    }
}

TEST_CASE("an independent solver that rolls the answers at no pace lets the ball die in the middle of the hole") {
    Random random(13);
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        const auto surface = test::wavy(seed);
        const Worst worst = check_putts(surface, random, 20, 0, 0);
        CHECK(worst.solved > 12);
        CHECK(worst.offset < 1e-4);
        CHECK(worst.speed < 3e-3);
    }
}

TEST_CASE("no solution that a search over all launches finds is missed on tiers, saddles and steep waves") {
    Random random(5);
    const Outline green = test::wide_green(10);
    PuttOptions options;
    options.window = false;
    options.green_speed_sigma_ft = 0;
    int several = 0, found = 0;
    for (int i = 0; i < 24; ++i) {
        const test::Formula surface = i % 3 == 0   ? test::saddle(random.uniform(0.01, 0.03))
                                      : i % 3 == 1 ? test::tier(random.uniform(0.25, 0.6), random.uniform(0.7, 1.5))
                                                   : test::wavy(static_cast<std::uint64_t>(i), random.uniform(1, 2.5));
        const double ft = random.uniform(9, 14), past = random.uniform(0.02, 0.6);
        const Vec2 hole{random.uniform(-4, 4), random.uniform(-4, 4)};
        const Vec2 ball = hole + random.uniform(1, 7) * direction_of_bearing(random.uniform(0, 360));
        if (!green.contains(ball)) continue;
        const PuttAnswer answer = solve_putt(surface, green, {ball, hole, ft, past}, options);
        several += answer.solutions.size() > 1;
        for (const Launch& launch : test::brute_force(surface, green, ball, hole, ft, past, 240, 40)) {
            ++found;
            bool known = false;
            for (const PuttRead& read : answer.solutions)
                known = known || (distance(read.direction, {std::cos(launch.angle), std::sin(launch.angle)}) < 1e-4 &&
                                  std::abs(read.launch_mps - launch.speed) < 1e-4);
            CHECK(known);
        }
        // And what is given beyond the search's grid is true as well, slowest first.
        for (std::size_t k = 0; k < answer.solutions.size(); ++k) {
            const PuttRead& read = answer.solutions[k];
            const auto pass = test::peer_roll(surface, ball.x, ball.y, read.direction.x, read.direction.y, read.launch_mps,
                                              ft, hole.x, hole.y);
            CHECK(pass.offset < 1e-5);
            CHECK(std::abs(pass.speed - speed_at_hole(past, ft)) < 1e-4);
            if (k > 0) CHECK(read.launch_mps > answer.solutions[k - 1].launch_mps);
        }
    }
    CHECK(several >= 4);
    CHECK(found > 15);
}

TEST_CASE("a vanishing pace runs into the answer at no pace") {
    const auto surface = test::wavy(2);
    const Outline green = test::wide_green();
    const auto read = [&](double past) { return solve_putt(surface, green, {{-3, 1}, {1, 0.5}, 10, past}).solutions.at(0); };
    const PuttRead dying = read(0);
    double before = 1;
    for (double past : {0.1, 0.01, 0.001, 0.0002}) {
        const PuttRead near = read(past);
        const double gap = std::abs(*near.aim_offset_m - *dying.aim_offset_m);
        CHECK(gap < before);
        before = gap;
    }
    CHECK(before < 1e-3);
    // Below 10 mm/s at the hole the answer is that of no pace.
    CHECK(*read(0.00005).aim_offset_m == *dying.aim_offset_m);
    CHECK(dying.past_on_slope_m == 0.0);
}

TEST_CASE("steep ground where rays bunch still has exact answers at no pace") {
    // 5 % at 10 ft: e = 0.64, where neighbours differ by 1e-9 of an angle at the hole.
    const auto surface = test::plane(0.05, 0, -1);
    for (double bearing : {0.0, 3.0, 40.0, 90.0, 135.0, 180.0}) {
        const Vec2 ball = 3.0 * direction_of_bearing(bearing);
        const PuttAnswer answer = solve_putt(surface, test::wide_green(), {ball, {0, 0}, 10, 0});
        REQUIRE_FALSE(answer.solutions.empty());
        for (const PuttRead& read : answer.solutions) {
            const auto pass = test::peer_roll(surface, ball.x, ball.y, read.direction.x, read.direction.y, read.launch_mps,
                                              10, 0, 0, 1e-4);
            CHECK(pass.offset < 2e-5);
        }
    }
}

TEST_CASE("everything that a read says of a putt fits its path") {
    const auto surface = test::plane(0.02, 0, -1);
    const Outline green = test::wide_green();
    const ErrorModel error{0.001, 0.5, 0.002, 3};
    PuttOptions options;
    options.error = &error;
    const PuttAnswer answer = solve_putt(surface, green, {{-3, 0}, {0, 0}, 10, 0.3}, options);
    REQUIRE(answer.solutions.size() == 1);
    const PuttRead& read = answer.solutions[0];
    // It falls to the south: the ball is aimed left of the hole, that is north, and turns right.
    CHECK(*read.aim_offset_m < -0.1);
    CHECK(read.aim_side == AimSide::left);
    CHECK(read.side == PuttSide::left_to_right);
    CHECK(read.aim_bearing_deg < 90);
    CHECK(read.entry_bearing_deg > 90);
    CHECK(-3 * std::tan(radians(90 - read.aim_bearing_deg)) == doctest::Approx(*read.aim_offset_m));
    CHECK(read.hole_speed_mps == doctest::Approx(speed_at_hole(0.3, 10)));
    CHECK(read.path.samples.front().v == doctest::Approx(read.launch_mps));
    CHECK(read.path.samples.back().v == doctest::Approx(read.hole_speed_mps));
    CHECK(distance(read.path.stop(), {0, 0}) < 1e-7);
    CHECK(read.path.samples.back().t == read.time_s);
    CHECK(read.length_m > 3);
    CHECK(read.ball_speed_mps / read.launch_mps == doctest::Approx(1.3).epsilon(0.05));
    // Across and a little down it runs on farther than on the level: between 1 and 1 / (1 - e) times.
    REQUIRE(read.past_on_slope_m);
    CHECK(*read.past_on_slope_m > 0.3);
    CHECK(*read.past_on_slope_m < 0.3 / 0.74);
    CHECK(read.aim_offset_se_m == doctest::Approx(std::hypot(read.survey_se_m, read.speed_se_m)));
    // The pull of the green speed: from whole answers half a foot apart.
    const auto aim = [&](double ft) { return *solve_putt(surface, green, {{-3, 0}, {0, 0}, ft, 0.3}).solutions.at(0).aim_offset_m; };
    CHECK(read.speed_se_m == doctest::Approx(std::abs(aim(10.5) - aim(9.5)) / 2).epsilon(0.01));
}

TEST_CASE("straight down a slope there is no break and straight up it a fair ball is slowed in less way") {
    const auto surface = test::plane(0.03, 0, -1);
    for (double north : {3.0, -3.0}) {
        const PuttAnswer answer = solve_putt(surface, test::wide_green(), {{0, north}, {0, 0}, 10, 0.3});
        REQUIRE(answer.solutions.size() == 1);
        CHECK(std::abs(*answer.solutions[0].aim_offset_m) < 1e-7);
        CHECK(answer.solutions[0].side == PuttSide::straight);
        CHECK(answer.solutions[0].aim_side == AimSide::straight);
        const double e = kRollFactor * kGravity * 0.03 / level_deceleration(10);
        CHECK(*answer.solutions[0].past_on_slope_m == doctest::Approx(0.3 / (north > 0 ? 1 - e : 1 + e)).epsilon(2e-3));
    }
}

TEST_CASE("where there is no putt the reason says why") {
    const Outline green = test::wide_green();
    const auto why = [&](const HeightField& surface, const Outline& outline, const PuttQuestion& q) {
        const PuttAnswer answer = solve_putt(surface, outline, q);
        CHECK(answer.solutions.empty());
        return answer.why_none;
    };
    // A slope that holds no ball: 9 % at 10 ft.
    const auto steep = test::plane(0.09, 0, -1);
    CHECK(why(steep, green, {{0, -3}, {0, 0}, 10, 0}).find("where no ball stops") != std::string::npos);
    CHECK(why(steep, green, {{0, -3}, {0, 0}, 10, 0}).find("9.0 %") != std::string::npos);
    // From above such a slope brings it faster than the pace allows.
    CHECK(why(steep, green, {{0, 6}, {0, 0}, 10, 0.1}).find("faster") != std::string::npos);
    // A deep bay between ball and hole: the only way leads out.
    const Outline bay({{-5, -5}, {5, -5}, {5, 5}, {0.5, 5}, {0.5, -4.5}, {-0.5, -4.5}, {-0.5, 5}, {-5, 5}}, OutlineSource::drawn);
    CHECK(why(test::plane(0, 1, 0), bay, {{-3, 3}, {3, 3}, 10, 0.3}).find("leaves the green") != std::string::npos);
    // Too far up hill for 6 m/s.
    CHECK(why(test::plane(0.08, 0, -1), test::wide_green(18), {{0, -15}, {0, 15}, 5, 0.3}).find("6 m/s") != std::string::npos);
}

TEST_CASE("questions without meaning are refused in a sentence") {
    const auto surface = test::wavy(1);
    const Outline green = test::wide_green(5);
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const PuttQuestion wrong[] = {{{6, 0}, {0, 0}, 10, 0.3},  {{1, 0}, {0, 7}, 10, 0.3},    {{1, 0}, {0, 0}, 3.9, 0.3},
                                  {{1, 0}, {0, 0}, 16.1, 0.3}, {{1, 0}, {0, 0}, 10, -0.1},  {{1, 0}, {0, 0}, 10, 5.1},
                                  {{1, 0}, {0, 0}, nan, 0.3},  {{1, 0}, {0, 0}, 10, nan},   {{nan, 0}, {0, 0}, 10, 0.3},
                                  {{1, 0}, {0, nan}, 10, 0.3}, {{0.05, 0}, {0, 0}, 10, 0.3}};
    for (const PuttQuestion& q : wrong) {
        try {
            solve_putt(surface, green, q);
            FAIL_CHECK("accepted");
        } catch (const Error& e) {
            CHECK(e.kind() == ErrorKind::usage);
        }
    }
    CHECK_THROWS_AS(solve_putt(surface, Outline(), {{1, 0}, {0, 0}, 10, 0.3}), Error);
}

TEST_CASE("the same question has the same bits for an answer") {
    const SplineSurface surface = test::rough_spline(2);
    const PuttQuestion q{{-3, 1}, {1, 0.5}, 10, 0.3};
    const PuttRead a = solve_putt(surface, test::wide_green(), q).solutions.at(0);
    const PuttRead b = solve_putt(surface, test::wide_green(), q).solutions.at(0);
    CHECK(a.launch_mps == b.launch_mps);
    CHECK(a.direction == b.direction);
    CHECK(a.window.left_deg == b.window.left_deg);
    CHECK(a.speed_se_m == b.speed_se_m);
}
