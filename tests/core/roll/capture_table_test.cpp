#include "core/roll/capture_table.h"

#include "core/base/constants.h"
#include "core/base/random.h"
#include "core/roll/capture.h"
#include "core/roll/green_speed.h"
#include "tests/support/support.h"

#include <algorithm>
#include <cmath>

using namespace brae;

TEST_CASE("entries of the table are what the simulation says") {
    for (int k : {1, 8, 20, 33, 50, 64})
        for (int row : {0, 5, 17}) {
            const double u = double(k) / CaptureGrid::kOffsets, offset = kHoleRadius * (1 - u * u);
            const double slope = row == 0 ? 0 : row < 13 ? 0.03 : 0.06;
            const double angle = row == 0 ? 0 : 2 * kPi * ((row - 1) % CaptureGrid::kAngles) / CaptureGrid::kAngles;
            const CaptureLimit simulated = capture_limit({offset, 0, slope, angle, 0}, {}, 2e-5);
            const CaptureLimit looked_up = tabled_capture_limit(offset, slope, angle);
            CHECK(std::abs(looked_up.all_drop_mps - simulated.all_drop_mps) < 5e-4);
            CHECK(looked_up.none_drops_mps >= simulated.none_drops_mps - 1e-3);
        }
}

TEST_CASE("between its entries the table is as near to the simulation as it says") {
    Random random(7);
    double worst = 0, worst_inner = 0;
    for (int i = 0; i < 60; ++i) {
        const double offset = random.uniform(-1, 1) * kHoleRadius, slope = random.uniform(0, 0.06);
        const double angle = random.uniform(0, 2 * kPi);
        const double simulated = capture_limit({offset, 0, slope, angle, 0}).all_drop_mps;
        const double error = std::abs(tabled_capture_limit(offset, slope, angle).all_drop_mps - simulated);
        worst = std::max(worst, error);
        if (std::abs(offset) < kCaptureTableInner) worst_inner = std::max(worst_inner, error);
    }
    MESSAGE("largest error of the table on 60 random points: ", worst, " m/s; within 50 mm: ", worst_inner, " m/s");
    CHECK(worst < kCaptureTableError);
    CHECK(worst_inner < kCaptureTableInnerError);
}

TEST_CASE("the table is symmetric, falls with the offset on the level and is nothing from the rim on") {
    double before = 10;
    for (double offset = 0; offset < kHoleRadius; offset += 0.0001) {
        const CaptureLimit limit = tabled_capture_limit(offset, 0, 0);
        CHECK(limit.all_drop_mps <= before);
        CHECK(limit.none_drops_mps >= limit.all_drop_mps);
        CHECK(tabled_capture_limit(-offset, 0, 0).all_drop_mps == limit.all_drop_mps);
        CHECK(tabled_capture_limit(-offset, 0.02, -0.5).all_drop_mps == doctest::Approx(tabled_capture_limit(offset, 0.02, 0.5).all_drop_mps));
        before = limit.all_drop_mps;
    }
    for (double offset : {kHoleRadius, -kHoleRadius, 1.0, std::nan("")}) CHECK(tabled_capture_limit(offset, 0.02, 1).none_drops_mps == 0);
    // Steeper than the table counts as its steepest; turns of the angle are the same.
    CHECK(tabled_capture_limit(0.02, 0.09, 1).all_drop_mps == tabled_capture_limit(0.02, 0.06, 1).all_drop_mps);
    CHECK(tabled_capture_limit(0.02, 0.05, 1 + 2 * kPi).all_drop_mps == doctest::Approx(tabled_capture_limit(0.02, 0.05, 1).all_drop_mps));
}

TEST_CASE("resistance before the rim is told by the speed with which the ball arrives over the hole") {
    // The limit of a path that the green slows, against the table with the correction of rim_capture.
    const double decel = level_deceleration(10);
    for (const HoleApproach& a : {HoleApproach{0, 0, 0, 0, decel}, {0.03, 0, 0, 0, decel}, {0.02, 0, 0.03, 1, decel},
                                  {-0.045, 0, 0.03, 2, decel}}) {
        const double limit = capture_limit(a).all_drop_mps;
        HoleApproach slower = a, faster = a;
        slower.speed_mps = limit - 0.01;
        faster.speed_mps = limit + 0.01;
        CHECK(rim_capture(slower) == Capture::drops);
        CHECK(rim_capture(faster) != Capture::drops);
    }
}
