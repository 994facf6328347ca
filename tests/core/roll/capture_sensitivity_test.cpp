#include "core/roll/capture_sensitivity.h"

#include "core/base/constants.h"
#include "core/roll/capture_limit.h"
#include "core/roll/green_speed.h"
#include "core/roll/rolling.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;

TEST_CASE("without bounce a level hole takes a centred ball up to 1.63 metres a second") {
    // 1.63 m/s: the well-known figure of Holmes 1991 (standing: memory). Own simulation: 1.631.
    RimSettings dead;
    dead.restitution = 0;
    const double limit = capture_limit({}, dead).all_drop_mps;
    MESSAGE("restitution 0, level and centred: ", limit, " m/s");
    CHECK(std::abs(limit - 1.63) < 0.005);
}

TEST_CASE("a slow ball drops and a fast one does not, however it bounces") {
    for (double offset : {0.0, 0.02, -0.02}) {
        const CaptureSensitivity slow = capture_sensitivity({offset, 0.8, 0, 0, 0});
        CHECK_FALSE(slow.uncertain);
        CHECK(slow.drops == std::array{true, true, true});
        const CaptureSensitivity fast = capture_sensitivity({offset, 2.4, 0, 0, 0});
        CHECK_FALSE(fast.uncertain);
        CHECK(fast.drops == std::array{false, false, false});
    }
}

TEST_CASE("a centred ball between the limits of a dead and of the assumed bounce is uncertain, and so says the roll") {
    // 1.8 m/s: over 1.63 without bounce and under 1.98 at restitution 0.3 (docs/physics.md, derived).
    const CaptureSensitivity s = capture_sensitivity({0, 1.8, 0, 0, 0});
    CHECK(s.uncertain);
    CHECK_FALSE(s.drops[0]);
    CHECK(s.drops[1]);

    // The same speed met by a rolled ball: its approach is handed on with the roll, by either criterion.
    const auto level = test::plane(0, 1, 0);
    for (CaptureModel model : {CaptureModel::rim, CaptureModel::free_fall}) {
        RollOptions o;
        o.hole = Vec2{2, 0};
        o.capture = model;
        const RollPath path = roll(level, {}, {0, 0}, {1, 0}, std::hypot(std::sqrt(2 * level_deceleration(10) * 2.0), 1.8), 10, o);
        CHECK(path.end == (model == CaptureModel::rim ? RollEnd::holed : RollEnd::stopped));
        CHECK(path.capture == model);
        REQUIRE(path.pass);
        REQUIRE(path.pass->approach);
        CHECK(path.pass->approach->speed_mps == doctest::Approx(1.8).epsilon(1e-3));
        CHECK(std::abs(path.pass->approach->offset_m) < 1e-9);
        CHECK(capture_sensitivity(*path.pass->approach).uncertain);
    }
    // A ball that passes beside the hole meets nothing of it.
    RollOptions o;
    o.hole = Vec2{2, 0.06};
    const RollPath beside = roll(level, {}, {0, 0}, {1, 0}, 2.0, 10, o);
    REQUIRE(beside.pass);
    CHECK_FALSE(beside.pass->approach);
}
