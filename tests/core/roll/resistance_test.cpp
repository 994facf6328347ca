#include "core/roll/resistance.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/roll/green_speed.h"
#include "core/roll/rolling.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;

namespace {
double run_m(const ResistanceOptions* options, Vec2 direction, double speed, double slope = 0) {
    const auto ground = test::plane(slope, 1, 0);
    RollOptions o;
    if (options) o.resistance = *options;
    const RollPath path = roll(ground, Outline(), {0, 0}, direction, speed, 10, o);
    REQUIRE(path.end == RollEnd::stopped);
    return norm(path.stop());
}
}  // namespace

TEST_CASE("resistance options that say nothing change no bit of a roll") {
    const auto ground = test::wavy(8);
    RollOptions with;
    with.resistance = ResistanceOptions{};
    const RollPath a = roll(ground, Outline(), {-2, 1}, {1, 0.1}, 2.1, 10), b = roll(ground, Outline(), {-2, 1}, {1, 0.1}, 2.1, 10, with);
    CHECK(a.stop() == b.stop());
    CHECK(a.time_s == b.time_s);
    CHECK(a.samples.size() == b.samples.size());
}

TEST_CASE("on level ground grain lengthens and shortens a roll by its strength") {
    ResistanceOptions grain;
    grain.grain_strength = 0.1;
    grain.grain_bearing_deg = 90;   // lies to the east
    const double v = 1.8, level = v * v / (2 * level_deceleration(10));
    CHECK(run_m(&grain, {1, 0}, v) == doctest::Approx(level / 0.9).epsilon(1e-7));
    CHECK(run_m(&grain, {-1, 0}, v) == doctest::Approx(level / 1.1).epsilon(1e-7));
    CHECK(run_m(&grain, {0, 1}, v) == doctest::Approx(level).epsilon(1e-7));
}

TEST_CASE("resistance that follows speed leaves the ramp's reading as it is and bends what lies beside it") {
    for (double q : {-0.4, -0.1, 0.2, 0.5}) {
        ResistanceOptions o;
        o.speed_exponent = q;
        CHECK(run_m(&o, {1, 0}, kRampReleaseMps) == doctest::Approx(10 * kFoot).epsilon(1e-6));
        // Resistance that rises with speed: slow balls run farther than v^2 says, fast ones less far.
        const double slow = run_m(&o, {1, 0}, 1) / run_m(nullptr, {1, 0}, 1), fast = run_m(&o, {1, 0}, 3) / run_m(nullptr, {1, 0}, 3);
        CHECK((slow > 1) == (q > 0));
        CHECK((fast < 1) == (q > 0));
    }
}

TEST_CASE("outside the cut a ball is slowed as many times as said") {
    const Outline cut({{-5, -5}, {1, -5}, {1, 5}, {-5, 5}}, OutlineSource::drawn);
    ResistanceOptions o;
    o.cut = &cut;
    o.outside_factor = 3;
    // v^2 = 2 a (1 + 3 x) for a ball that stops x beyond the edge, 1 m away.
    const double a = level_deceleration(10), v = 1.8;
    CHECK(run_m(&o, {1, 0}, v) == doctest::Approx(1 + (v * v / (2 * a) - 1) / 3).epsilon(1e-6));
}

TEST_CASE("resistance options without meaning are refused") {
    const auto refused = [](double strength, double exponent, double factor) {
        ResistanceOptions o;
        o.grain_strength = strength;
        o.speed_exponent = exponent;
        o.outside_factor = factor;
        CHECK_THROWS_AS(run_m(&o, {1, 0}, 1), Error);
    };
    refused(0.6, 0, 1);
    refused(-0.1, 0, 1);
    refused(0, 0.7, 1);
    refused(0, 0, 0);
    refused(std::nan(""), 0, 1);
}
