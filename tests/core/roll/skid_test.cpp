#include "core/roll/skid.h"

#include "core/roll/green_speed.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

TEST_CASE("a ball struck at two metres a second slides a third of a metre and rolls at five sevenths") {
    // v0 = 2 m/s, mu = 0.30 -> 0.333 m, 1.4286 m/s, +/- 0.1 % (standard mechanics).
    const Skid s = skid(2.0, 0.30);
    CHECK(s.length_m == doctest::Approx(0.333).epsilon(1e-3));
    CHECK(s.rolling_mps == doctest::Approx(1.4286).epsilon(1e-3));
    CHECK(s.time_s == doctest::Approx(2 * 2.0 / (7 * 0.30 * kGravity)));
}

TEST_CASE("ball speed and launch speed stand for the same run on the level, with and without the skid") {
    for (double launch : {0.5, 1.5, 3.0}) {
        const double ball = ball_speed_for_launch(launch, 10);
        const Skid s = skid(ball);
        const double a = level_deceleration(10);
        CHECK(s.length_m + s.rolling_mps * s.rolling_mps / (2 * a) == doctest::Approx(launch * launch / (2 * a)));
        CHECK(launch_for_ball_speed(ball, 10) == doctest::Approx(launch));
        CHECK(ball / launch > 1.2);
        CHECK(ball / launch < 1.4);
    }
}
