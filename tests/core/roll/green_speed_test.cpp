#include "core/roll/green_speed.h"

#include "core/base/error.h"
#include "tests/support/support.h"

#include <cmath>
#include <limits>

using namespace brae;

TEST_CASE("a reading becomes the deceleration that stops the ramp's ball there") {
    // 0.6858 / 0.5486 / 0.4572 m/s^2 at 8 / 10 / 12 ft, +/- 0.0005 (derived).
    CHECK(std::abs(level_deceleration(8) - 0.6858) < 5e-4);
    CHECK(std::abs(level_deceleration(10) - 0.5486) < 5e-4);
    CHECK(std::abs(level_deceleration(12) - 0.4572) < 5e-4);
    // Rolling friction rho = 7 v0^2 / (10 g S): 0.065 at 12 ft, 0.131 at 6 ft (Penner 2002, second-hand).
    CHECK(level_deceleration(12) / (kRollFactor * kGravity) == doctest::Approx(0.065).epsilon(0.01));
    CHECK(level_deceleration(6) / (kRollFactor * kGravity) == doctest::Approx(0.131).epsilon(0.01));
}

TEST_CASE("speeds outside 4 to 16 feet and paces that are negative are refused in a sentence") {
    for (double s : {3.99, 16.01, -1.0, std::numeric_limits<double>::quiet_NaN()})
        CHECK_THROWS_AS(level_deceleration(s), Error);
    for (double past : {-0.01, std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()})
        CHECK_THROWS_AS(speed_at_hole(past, 10), Error);
    try {
        level_deceleration(3);
        FAIL("accepted");
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::usage);
        CHECK(std::string(e.what()).find("3 ft") != std::string::npos);
    }
}

TEST_CASE("pace and speed at the hole are each other's inverse") {
    for (double past : {0.0, 0.1, 0.3, 2.0}) CHECK(past_of_speed(speed_at_hole(past, 9.5), 9.5) == doctest::Approx(past));
}

TEST_CASE("ramp readings are averaged over both ways") {
    // 9.0 9.2 9.4 and 9.6 9.8 10.0 -> 9.50 accepted (second-hand).
    const auto good = green_speed_from_ramp({{9.0, 9.2, 9.4}, {9.6, 9.8, 10.0}});
    CHECK(good.speed_ft == doctest::Approx(9.5));
    CHECK_FALSE(good.repeat);
    CHECK_FALSE(good.slope_corrected);
}

TEST_CASE("a spread over eight inches asks for a repeat") {
    // Procedure: within 8 in of one another; 0.7 ft is 8.4 in (second-hand).
    CHECK(green_speed_from_ramp({{9.0, 9.7}, {9.4}}).repeat);
    CHECK_FALSE(green_speed_from_ramp({{9.0, 9.0 + 8.0 / 12}, {9.4}}).repeat);
}

TEST_CASE("ways that differ by more than eighteen inches are corrected for slope") {
    // 8.0 against 9.6 -> 2 Su Sd / (Su + Sd) (Brede 1990: formula, page).
    const auto e = green_speed_from_ramp({{8.0}, {9.6}});
    CHECK(e.slope_corrected);
    CHECK(e.speed_ft == doctest::Approx(2 * 8.0 * 9.6 / 17.6));
    CHECK_THROWS_AS(green_speed_from_ramp({{}, {9.0}}), Error);
    CHECK_THROWS_AS(green_speed_from_ramp({{9.0}, {31.0}}), Error);
}
