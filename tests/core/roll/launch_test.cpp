#include "core/roll/launch.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/skid.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {

PutterStrike plain() {
    PutterStrike s;
    s.loft = 0;
    return s;
}

}  // namespace

TEST_CASE("without loft and spin on the level the simulated skid is the closed form") {
    // v0 = 2 m/s, mu = 0.30 -> 0.333 m and 1.4286 m/s (standard mechanics).
    const auto level = test::plane(0, 1, 0);
    const SkidPath path = skid_on_surface(level, {1, 2}, {0.6, 0.8}, 2, plain());
    CHECK(path.rolls);
    CHECK(path.length_m == doctest::Approx(0.333).epsilon(0.001));
    CHECK(path.rolling_mps == doctest::Approx(1.4286).epsilon(0.0001));
    const Skid exact = skid(2);
    CHECK(path.length_m == doctest::Approx(exact.length_m).epsilon(1e-9));
    CHECK(path.time_s == doctest::Approx(exact.time_s).epsilon(1e-9));
    CHECK(path.rolling.p.x == doctest::Approx(1 + 0.6 * exact.length_m).epsilon(1e-9));
    CHECK(ball_speed_for_launch(1.8, 10, plain()) == doctest::Approx(ball_speed_for_launch(1.8, 10)).epsilon(1e-6));
}

TEST_CASE("straight down and up a plane the skid follows its closed form") {
    // Along a plane of angle t a ball without spin slides at g sin t -+ mu g cos t and its rolling point catches up at
    // 5/2 mu g cos t (derived): the slip is gone after v0 / (7/2 mu g cos t -+ g sin t).
    for (double sign : {1.0, -1.0}) {
        const double slope = 0.05, t = std::atan(slope), v0 = 2, mu = kSkidFriction;
        const auto ground = test::plane(slope, 1, 0);
        const SkidPath path = skid_on_surface(ground, {0, 0}, {sign, 0}, v0, plain());
        const double pull = sign * kGravity * std::sin(t), grip = mu * kGravity * std::cos(t);
        const double time = v0 / (3.5 * grip - pull);
        CHECK(path.rolls);
        CHECK(path.time_s == doctest::Approx(time).epsilon(1e-6));
        CHECK(path.rolling_mps == doctest::Approx(2.5 * grip * time).epsilon(1e-6));
    }
}

TEST_CASE("topspin of pure rolling does not skid and backspin skids longer") {
    const auto level = test::plane(0, 1, 0);
    PutterStrike s = plain();
    s.added_topspin = 1;
    CHECK(skid_on_surface(level, {}, {1, 0}, 2, s).length_m < 1e-9);
    CHECK(skid_on_surface(level, {}, {1, 0}, 2, s).rolling_mps == doctest::Approx(2));
    s.added_topspin = -0.2;
    // Spin k v0 rolls at (5 + 2 k) / 7 of the speed (standard mechanics).
    CHECK(skid_on_surface(level, {}, {1, 0}, 2, s).rolling_mps == doctest::Approx(2 * (5 - 0.4) / 7));
    CHECK(skid_on_surface(level, {}, {1, 0}, 2, s).length_m > skid(2).length_m);
}

TEST_CASE("loft lifts the ball a little less than itself, with backspin, and the jump is its parabola") {
    PutterStrike s;
    CHECK(launch_angle(s) < s.loft);
    CHECK(launch_angle(s) > 0.8 * s.loft);
    CHECK(launch_spin(s) < 0);
    s.turf_restitution = 0;
    const double v = 2, up = launch_angle(s);
    const SkidPath path = skid_on_surface(test::plane(0, 1, 0), {}, {1, 0}, v, s);
    CHECK(path.rolls);
    CHECK(path.jump_length_m == doctest::Approx(v * v * std::sin(2 * up) / kGravity).epsilon(1e-6));
    CHECK(path.jump_height_m == doctest::Approx(std::pow(v * std::sin(up), 2) / (2 * kGravity)).epsilon(1e-3));
    // Whatever bounces on the way: momentum about a point on the ground holds the speed at last (standard mechanics).
    for (double e : {0.0, 0.2, 0.5}) {
        s.turf_restitution = e;
        CHECK(skid_on_surface(test::plane(0, 1, 0), {}, {1, 0}, v, s).rolling_mps ==
              doctest::Approx(v * (5 * std::cos(up) + 2 * launch_spin(s)) / 7).epsilon(1e-6));
    }
    MESSAGE("3 degrees at 2 m/s: up ", degrees(up), " degrees, spin ", launch_spin(s), ", jump ", path.jump_length_m, " m");
}

TEST_CASE("across a slope the ball breaks already while it slides") {
    const SkidPath path = skid_on_surface(test::plane(0.03, 0, -1), {}, {1, 0}, 2, plain());
    CHECK(path.rolls);
    CHECK(path.rolling.p.y < -0.001);
    CHECK(path.rolling.v.y < 0);
}

TEST_CASE("a wrong lie turns a lofted face") {
    // L 4 degrees, d 3 degrees -> 0.21 degrees (derived).
    CHECK(degrees(face_turn(radians(4), radians(3))) == doctest::Approx(0.21).epsilon(0.01));
    CHECK(face_turn(0, 1) == 0);
}

TEST_CASE("a strike without meaning is refused") {
    const auto level = test::plane(0, 1, 0);
    CHECK_THROWS_AS(skid_on_surface(level, {}, {1, 0}, std::nan(""), {}), Error);
    CHECK_THROWS_AS(skid_on_surface(level, {}, {0, 0}, 1, {}), Error);
    CHECK_THROWS_AS(skid_on_surface(level, {}, {1, 0}, 21, {}), Error);
}
