#include "core/plan/station_facts.h"

#include "core/base/units.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

PracticeStation across(Vec2 ball = {11, 12}) {
    StationRequest r;
    r.hole = {14, 12};
    return station_at(green_of(tilted(0.02, {0, -1}), ellipse({14, 12}, 12, 12)), r, ball, "A");
}

}  // namespace

TEST_CASE("a gate at 0.50 m for one degree is 60 mm wide") {
    // 42.7 mm + 2 L tan(tolerance), derived: 42.67 + 17.45 = 60.1 mm.
    PracticeStation s = across();
    s.window.left_deg = -1;
    s.window.right_deg = 1.4;
    const StartGate g = start_gate(s);
    CHECK(g.tolerance_deg == 1);
    CHECK(std::abs(g.width_m - 0.0601) < 0.0002);
    CHECK(distance(g.left, g.right) == doctest::Approx(g.width_m).epsilon(1e-12));
    // On the start line, half a metre ahead; left is left as the player looks.
    CHECK(std::abs(cross(unit(s.marker - s.ball), g.centre - s.ball)) < 1e-9);
    CHECK(distance(g.centre, s.ball) == doctest::Approx(0.5));
    CHECK(cross(s.marker - s.ball, g.left - s.ball) > 0);
}

TEST_CASE("a gate is never narrower or wider than makes sense") {
    PracticeStation s = across();
    s.window.left_deg = -0.01;
    CHECK(start_gate(s).tolerance_deg == 0.3);
    s.window.left_deg = -9, s.window.right_deg = 9;
    CHECK(start_gate(s).tolerance_deg == 2);
}

TEST_CASE("how far an aim may be off is held against what the hole forgives") {
    PracticeStation s = across();
    s.window.left_deg = -1, s.window.right_deg = 1.4;
    // 3 m from the hole, aim 0.30 m off the centre, one standard error of 3 cm: atan(0.3 / 3) - atan((0.3 - 1.645 x 0.03) / 3) = 0.934 degrees.
    s.distance_m = 3, s.aim_offset_m = -0.30, s.break_m = 0.30, s.break_se_m = 0.03;
    AimTrust t = aim_trust(s);
    CHECK(t.error_deg == doctest::Approx(0.9345).epsilon(1e-3));
    CHECK(t.forgiven_deg == 1);
    CHECK(t.enough());
    s.break_se_m = 0.033;
    CHECK_FALSE(aim_trust(s).enough());
    s.break_se_m = 0;
    CHECK(aim_trust(s).error_deg == 0);
    s.break_se_m = std::nan("");
    CHECK(aim_trust(s).enough());
}

TEST_CASE("the turning point lies between the ball-hole line and the start line and is no aim") {
    const PracticeStation s = across();
    const auto turn = turning_point(s);
    REQUIRE(turn);
    CHECK(turn->along_m > 0);
    CHECK(turn->along_m < s.distance_m);
    // Nearer to the straight line than the start line is at that length, by a clear part of it.
    const double start_line = turn->along_m * s.break_m / s.distance_m;
    CHECK(turn->from_line_m < 0.8 * start_line);
    CHECK(turn->from_line_m > 0.2 * s.break_m);
    // On the same side as the marker, on the path.
    CHECK(cross(s.hole - s.ball, turn->p - s.ball) * cross(s.hole - s.ball, s.marker - s.ball) > 0);
    // A straight putt has none.
    CHECK_FALSE(turning_point(across({14, 9})));
}

TEST_CASE("string and square offset lead back to the marker") {
    const PracticeStation s = across();
    for (Vec2 p : {s.marker, s.start_line_at_1m, start_gate(s).left}) {
        const StringSetting set = string_setting(s, p);
        const Vec2 line = unit(s.hole - s.ball);
        const Vec2 back = s.ball + set.along_m * line + (set.right ? 1 : -1) * set.out_m * right_of(line);
        CHECK(distance(back, p) < 1e-9);
    }
    CHECK(string_setting(s, s.marker).along_m == doctest::Approx(s.distance_m));
    CHECK(string_setting(s, s.marker).out_m == doctest::Approx(s.break_m));
    CHECK(string_setting(s, s.marker).right == (s.aim_offset_m > 0));
}

TEST_CASE("break in widths from the centre and from the edge") {
    // The hole is 4 1/4 inches wide (Rules of Golf, Definitions).
    PracticeStation s = across();
    s.break_m = 0.4;
    const BreakWidths w = break_widths(s);
    CHECK(w.holes == doctest::Approx(0.4 / 0.10795));
    CHECK(w.balls == doctest::Approx(0.4 / (2 * kBallRadius)));
    CHECK(w.edge_m == doctest::Approx(0.4 - 0.053975));
    CHECK(w.edge_holes == doctest::Approx((0.4 - 0.053975) / 0.10795));
    s.break_m = 0.03;
    CHECK(break_widths(s).edge_m == 0);
}

TEST_CASE("what a slip of 2 cm does agrees with setting the marker wrong") {
    const PracticeStation s = across();
    const SlipEffect e = slip_effect(s, 0.02);
    const Vec2 start = unit(s.marker - s.ball);
    double worst = 0;
    for (int k = 0; k < 360; ++k) {
        const Vec2 wrong = s.marker + 0.02 * direction_of_bearing(k);
        worst = std::max(worst, std::abs(std::atan2(cross(start, wrong - s.ball), dot(start, wrong - s.ball))));
    }
    CHECK(degrees(worst) == doctest::Approx(e.marker_deg).epsilon(0.001));
    CHECK(e.line_at_hole_m == doctest::Approx(0.02).epsilon(0.03));
    // A slip that turns the line out of the window is told.
    CHECK(e.still_holes == (e.marker_deg <= std::min(-s.window.left_deg, s.window.right_deg)));
    CHECK_FALSE(slip_effect(s, 0.5).still_holes);
}

TEST_CASE("a marker in the ball's way or where the player stands is told") {
    PracticeStation s = across();
    CHECK(marker_clearance(s).path);
    CHECK(marker_clearance(s).stance);
    CHECK(marker_clearance(s).path_m > 0.1);
    s.marker = s.path[s.path.size() / 2];
    CHECK_FALSE(marker_clearance(s).path);
    s.marker = s.ball + 0.5 * right_of(unit(s.start_line_at_1m - s.ball));
    CHECK_FALSE(marker_clearance(s).stance);
}
