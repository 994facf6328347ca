#include "core/teach/learned_spread.h"

#include "core/base/units.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

TEST_CASE("what was learned is a spread that chances can be worked out with") {
    LessonEstimate e;
    e.figure[kAimSpread].mean = radians(0.6), e.figure[kStrokeSpread].mean = radians(0.8);
    e.figure[kPaceSpread].mean = 0.04, e.figure[kPaceStationSpread].mean = 0.03;
    e.figure[kReadSpread].mean = radians(0.3), e.figure[kReadStationSpread].mean = radians(0.4);
    e.figure[kPaceBias].mean = std::log(0.95);
    e.start_line.mean = radians(-0.7);
    const PlayerSpread s = learned_spread(e);
    // 3-4-5 triangles.
    CHECK(degrees(s.start_line.rad) == doctest::Approx(1.0));
    CHECK(s.launch_sigma_rel == doctest::Approx(0.05));
    CHECK(degrees(s.read_sigma_rad) == doctest::Approx(0.5));
    CHECK(s.launch_bias_rel == doctest::Approx(-0.05));
    CHECK(degrees(s.start_line_bias_rad) == doctest::Approx(-0.7));
    s.check();
}

TEST_CASE("what a lesson has learned and the same figures taken for granted are one player, the constant part of the read's bias with it") {
    LessonEstimate e;
    PlayerPrior prior;
    for (int k = 0; k < kPlayerFigures; ++k) {
        const double value = k < kReadSpread ? 0.01 * (k + 1) : radians(0.3 + 0.1 * k);
        e.figure[k].mean = value;
        prior.figure[static_cast<std::size_t>(k)].mean = k < kReadSpread ? value : std::log(value);
    }
    e.start_line.mean = e.figure[kAimBias].mean + e.figure[kStrokeBias].mean;
    const PlayerSpread learned = learned_spread(e), taken = spread_of(prior);
    CHECK(learned.read_bias_rad == doctest::Approx(0.01));
    CHECK(learned.direction_bias_rad() == doctest::Approx(taken.direction_bias_rad()));
    CHECK(learned.direction_sigma_rad() == doctest::Approx(taken.direction_sigma_rad()));
    CHECK(learned.launch_sigma_rel == doctest::Approx(taken.launch_sigma_rel));
    CHECK(learned.launch_bias_rel == doctest::Approx(taken.launch_bias_rel));
}
