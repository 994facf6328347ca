#include "core/roll/capture_limit.h"

#include "core/base/constants.h"
#include "core/roll/capture.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

TEST_CASE("the rim takes every ball that free fall takes, and a centred one up to a higher speed") {
    // Balls that strike the far edge can still drop (Holmes 1991; Hubbard and Smith 1999; second-hand).
    const CaptureLimit centred = capture_limit({});
    MESSAGE("level and centred: rim ", centred.all_drop_mps, " m/s (uncertain up to ", centred.none_drops_mps, "), free fall ",
            free_fall_capture_speed(0), " m/s");
    CHECK(centred.all_drop_mps > free_fall_capture_speed(0));
    CHECK(centred.none_drops_mps >= centred.all_drop_mps);
    for (double offset : {0.01, 0.02, 0.03, 0.0325})
        CHECK(capture_limit({offset, 0, 0, 0, 0}).all_drop_mps >= free_fall_capture_speed(offset));
}

TEST_CASE("on the level the limit falls with the offset") {
    double before = 10;
    for (double f : {0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.9, 0.95, 0.99, 0.999}) {
        const double limit = capture_limit({f * kHoleRadius, 0, 0, 0, 0}, {}, 1e-3).all_drop_mps;
        CHECK(limit < before);
        CHECK(limit > 0);
        before = limit;
    }
}

TEST_CASE("without bounce a far edge that stands higher takes faster balls, and a lower one fewer") {
    // Up the slope the far edge stands higher against the ball's fall, down the slope lower (derived: the fall to the
    // height of the far edge takes longer downhill by half the slope).
    RimSettings dead;
    dead.restitution = 0;
    for (double offset : {0.0, 0.02}) {
        const double level = capture_limit({offset, 0, 0, 0, 0}, dead).all_drop_mps;
        CHECK(capture_limit({offset, 0, 0.06, kPi, 0}, dead).all_drop_mps > level + 0.002);
        CHECK(capture_limit({offset, 0, 0.06, 0, 0}, dead).all_drop_mps < level - 0.002);
    }
}
