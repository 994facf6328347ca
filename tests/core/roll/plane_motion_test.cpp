#include "core/roll/plane_motion.h"

#include "core/base/constants.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

// Stopping points at S = 10, slope 2 %, v = 2.0 m/s (check values: derived, exact from the stated equations).
struct PlaneRow { double psi_deg, x, y, t; };
static const PlaneRow kRows[] = {{0, 4.8951, 0, 4.8951},
                                 {45, 3.5041, 2.8569, 4.6035},
                                 {90, 0.4978, 3.7058, 3.8995},
                                 {135, -2.0107, 2.3838, 3.1956},
                                 {180, -2.9040, 0, 2.9040}};

TEST_CASE("the closed form gives the stopping points of the plane table to 0.05 percent") {
    const double theta = std::atan(0.02), a_f = level_deceleration(10), a_g = kRollFactor * kGravity * std::sin(theta);
    for (const PlaneRow& row : kRows) {
        const PlaneStop stop = stop_on_plane(2.0, radians(row.psi_deg), a_f, a_g);
        CHECK(std::abs(stop.x - row.x) < 5e-4 * 4);
        CHECK(std::abs(stop.y - row.y) < 5e-4 * 4);
        CHECK(stop.t == doctest::Approx(row.t).epsilon(5e-4));
    }
}

TEST_CASE("rolling on a plane stops where the closed form says, to a micrometre, in any orientation") {
    const double slope = 0.02, w = std::sqrt(1 + slope * slope);
    for (double turn : {0.0, 33.0, 145.0, 260.0}) {
        const Vec2 down = direction_of_bearing(turn), left{-down.y, down.x};
        const auto surface = test::plane(slope, down.x, down.y);
        for (const PlaneRow& row : kRows) {
            // The launch angle lies in the plane; its horizontal image has a shorter part along the fall line.
            const double psi = radians(row.psi_deg);
            const Vec2 direction = std::cos(psi) / w * down + std::sin(psi) * left;
            const RollPath path = roll(surface, {}, {3, -2}, direction, 2.0, 10);
            REQUIRE(path.end == RollEnd::stopped);
            const Vec2 gone = path.stop() - Vec2{3, -2};
            const double x = dot(gone, down) * w, y = dot(gone, left);
            // Derived, 0.1 % (the table takes cos(theta) as 1: 0.02 %).
            CHECK(std::abs(x - row.x) < 1e-3 * 4);
            CHECK(std::abs(y - row.y) < 1e-3 * 4);
            CHECK(path.time_s == doctest::Approx(row.t).epsilon(1e-3));
            const PlaneStop exact = stop_on_plane(2.0, psi, level_deceleration(10) / w, kRollFactor * kGravity * slope / w);
            CHECK(std::abs(x - exact.x) < 1e-6);
            CHECK(std::abs(y - exact.y) < 1e-6);
            CHECK(std::abs(path.time_s - exact.t) < 1e-6);
        }
    }
}

TEST_CASE("straight up and down a plane the length is that of the level times 1 plus or minus e") {
    // S = 10, 2 %: 1.2554 and 0.7446 (derived).
    const auto surface = test::plane(0.02, 0, -1);
    const double level = 2.0 * 2.0 / (2 * level_deceleration(10));
    const double up = roll(surface, {}, {0, 0}, {0, 1}, 2.0, 10).length_m;
    const double down = roll(surface, {}, {0, 0}, {0, -1}, 2.0, 10).length_m;
    CHECK(level / up == doctest::Approx(1.2554).epsilon(1e-3));
    CHECK(level / down == doctest::Approx(0.7446).epsilon(1e-3));
}

TEST_CASE("the tangent plane refuses a slope that holds no ball") {
    const SurfaceJet steep{0, 0, -0.09, 0, 0, 0};
    const TangentStop stop = stop_on_tangent_plane(steep, {0.005, 0}, level_deceleration(10));
    CHECK(stop.e > 1);
    CHECK(stop.displacement == Vec2{});
}
