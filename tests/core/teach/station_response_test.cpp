#include "core/teach/station_response.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/rolling.h"
#include "core/solve/holing_region.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

LessonStation station_at(Vec2 ball, double past = 0.3) { return {"A", ball, {0, 0}, std::nullopt, past}; }

}  // namespace

TEST_CASE("a station answers a launch as a full roll does") {
    const Outline green = wide_green();
    for (const std::uint64_t seed : {3u, 4u}) {
        const Formula ground = wavy(seed);
        const StationResponse s(ground, green, station_at({2.4, -1.7}), 10, nullptr);
        const double base = std::atan2(s.line().along.y, s.line().along.x) - s.true_aim();
        double worst = 0;
        for (double turn : {-0.11, -0.031, 0.0, 0.017, 0.08})
            for (double push : {-0.42, -0.11, 0.0, 0.07, 0.23}) {
                const double angle = base - turn;
                const RollPath path = roll(ground, green, s.station().ball, {std::cos(angle), std::sin(angle)}, s.launch_mps() * std::exp(push), 10);
                const Vec2 want{s.line().beyond(path.stop()), s.line().offset(path.stop())};
                worst = std::max(worst, norm(s.at(turn, push).stop - want));
            }
        // Between nodes 0.6 degrees and 5 % apart; the place of rest is seen to 5 cm at best.
        CHECK(worst < 0.006);
    }
}

TEST_CASE("on a plane the true aim and its answer to green speed are those of the closed form") {
    // Level with the hole on 2 %, S = 10: the dying ball is aimed at sin t = tan(asin(e) / 2) (derived, docs/references.md).
    const Formula ground = plane(0.02, 0, -1);
    const Outline green = wide_green();
    const LessonStation a = station_at({-3.048, 0}, 0);
    const StationResponse s(ground, green, a, 10, nullptr);
    const auto aim = [](double speed) {
        const double slope_angle = std::atan(0.02), e = kRollFactor * kGravity * std::sin(slope_angle) / (kRampReleaseMps * kRampReleaseMps / (2 * speed * kFoot));
        return std::asin(std::tan(std::asin(e) / 2));
    };
    CHECK(std::abs(s.true_aim()) == doctest::Approx(aim(10)).epsilon(2e-3));
    CHECK_FALSE(s.high_is_right());   // it falls to the player's right, so the aim is left
    CHECK(std::abs(s.aim_by_speed()) == doctest::Approx((aim(10.01) - aim(9.99)) / 0.02).epsilon(5e-3));
    CHECK(s.aim_by_speed() < 0);
}

TEST_CASE("the launches that hole are those that hole on the ground") {
    const Formula ground = wavy(8);
    const Outline green = wide_green();
    const LessonStation place = station_at({-2.2, 1.1});
    const StationResponse s(ground, green, place, 10, nullptr);
    const PuttGround putt = putt_ground(ground, green, {place.ball, place.hole, 10, place.past_m});
    const double base = std::atan2(s.line().along.y, s.line().along.x) - s.true_aim();
    REQUIRE(s.holing().size() > 20);
    int wrong = 0;
    for (const HolingStrip& h : s.holing())
        for (const auto& [push, want] : {std::pair{0.5 * (h.low + h.high), true}, {h.low - 0.01, false}, {h.high + 0.01, false}}) {
            // Slower than the main part there may be one more that rests over the rim.
            const bool holed = holes_out(putt, {base - h.turn, s.launch_mps() * std::exp(push)});
            wrong += holed != want;
        }
    CHECK(wrong <= 3);
}

TEST_CASE("the true aims' errors are those that a read states, and stations share them") {
    const SplineSurface ground = rough_spline(5);
    const Outline green = wide_green();
    const ErrorModel error{0.0005, 0.5, 0.002, 3.0};
    std::vector<StationResponse> stations;
    std::vector<double> stated;
    for (const Vec2 ball : {Vec2{3.0, 0.4}, Vec2{3.1, 0.5}, Vec2{-2.5, -2.0}}) {
        stations.emplace_back(ground, green, station_at(ball), 10, &error);
        PuttOptions options;
        options.error = &error;
        options.window = options.path = false;
        const PuttAnswer answer = solve_putt(ground, green, {ball, {0, 0}, 10, 0.3}, options);
        REQUIRE(!answer.solutions.empty());
        const double c = std::cos(stations.back().true_aim());
        stated.push_back(answer.solutions.front().aim_offset_se_m * c * c / stations.back().distance_m());
    }
    const auto c = aim_error_covariance(stations, 0.5, &error);
    for (std::size_t k = 0; k < 3; ++k) CHECK(std::sqrt(c[4 * k]) == doctest::Approx(stated[k]).epsilon(0.04));
    // Neighbours err alike, stations on the other side do not.
    CHECK(c[1] / std::sqrt(c[0] * c[4]) > 0.9);
    CHECK(std::abs(c[2]) / std::sqrt(c[0] * c[8]) < 0.9);
    CHECK(c[1] == c[3]);
}

TEST_CASE("a station without a putt that can be aimed is refused by name") {
    const Outline green = wide_green();
    CHECK_THROWS_WITH_AS(StationResponse(plane(0.12, 1, 0), green, station_at({-3, 0}), 12, nullptr), doctest::Contains("station A"), Error);
    LessonStation behind = station_at({2, 0});
    behind.marker = Vec2{4, 0};
    CHECK_THROWS_WITH_AS(StationResponse(wavy(3), green, behind, 10, nullptr), doctest::Contains("not ahead of the ball"), Error);
}
