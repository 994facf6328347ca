#include "core/roll/capture.h"

#include "core/base/constants.h"
#include "tests/support/support.h"

#include <cmath>
#include <limits>

using namespace brae;

TEST_CASE("free fall takes a centred ball up to 1.31 metres a second") {
    // (2R - r) sqrt(g / 2r) = 1.31 m/s: Penner 2002, second-hand, three agree.
    CHECK(free_fall_capture_speed(0) == doctest::Approx(1.31).epsilon(0.005));
    CHECK(free_fall_capture_speed(0) ==
          doctest::Approx((2 * kHoleRadius - kBallRadius) * std::sqrt(kGravity / (2 * kBallRadius))));
}

TEST_CASE("at the last offset of free fall 0.65 metres a second still drop and beyond it none, never a NaN") {
    // 0.65 m/s at d = R - r (memory).
    const double last = kHoleRadius - kBallRadius;
    CHECK(free_fall_capture_speed(last) == doctest::Approx(0.65).epsilon(0.01));
    CHECK(free_fall_capture_speed(-last) == free_fall_capture_speed(last));
    for (double d : {last + 1e-12, 0.04, kHoleRadius, 1.0, 1e300, std::numeric_limits<double>::infinity()}) {
        CHECK(free_fall_capture_speed(d) == 0);
        CHECK_FALSE(captured(d, 0.2));
    }
    CHECK(free_fall_capture_speed(std::numeric_limits<double>::quiet_NaN()) == 0);
    double before = 10;
    for (double d = 0; d <= last; d += 0.0005) {
        CHECK(free_fall_capture_speed(d) < before);
        before = free_fall_capture_speed(d);
    }
}

TEST_CASE("a ball at rest with its centre over the hole is in") {
    CHECK(captured(0.05, 0));
    CHECK_FALSE(captured(0.0545, 0));
}
