#include "core/plan/station_facts.h"

#include "core/base/interval.h"
#include "core/base/segment.h"
#include "core/base/units.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr double kNarrowestGateDeg = 0.3, kWidestGateDeg = 2.0;
constexpr double kPegRadiusM = 0.01;               // a tee peg with the clearance that a ball wants beside it
constexpr double kFeetNearM = 0.3, kFeetFarM = 0.7, kFeetAlongM = 0.5;

Vec2 line_of(const PracticeStation& s) { return unit(s.hole - s.ball); }
Vec2 start_of(const PracticeStation& s) { return unit(s.start_line_at_1m - s.ball); }
double narrower_half_deg(const HolingWindow& w) { return std::max(0.0, std::min(-w.left_deg, w.right_deg)); }

}  // namespace

StartGate start_gate(const PracticeStation& s, double ahead_m) {
    StartGate g;
    g.ahead_m = ahead_m;
    g.tolerance_deg = std::clamp(narrower_half_deg(s.window), kNarrowestGateDeg, kWidestGateDeg);
    g.width_m = 2 * kBallRadius + 2 * ahead_m * std::tan(radians(g.tolerance_deg));
    const Vec2 start = start_of(s);
    g.centre = s.ball + ahead_m * start;
    g.right = g.centre + 0.5 * g.width_m * right_of(start);
    g.left = g.centre - 0.5 * g.width_m * right_of(start);
    return g;
}

std::optional<TurningPoint> turning_point(const PracticeStation& s) {
    const Vec2 line = line_of(s);
    std::optional<TurningPoint> best;
    for (Vec2 p : s.path) {
        const double away = std::abs(cross(line, p - s.ball));
        if (away < kStraightAimM || (best && away <= best->from_line_m)) continue;
        best = TurningPoint{p, away, dot(p - s.ball, line)};
    }
    return best;
}

StringSetting string_setting(const PracticeStation& s, Vec2 p) {
    const Vec2 line = line_of(s);
    const double right = dot(p - s.ball, right_of(line));
    return {dot(p - s.ball, line), std::abs(right), right >= 0};
}

BreakWidths break_widths(const PracticeStation& s) {
    BreakWidths w;
    w.holes = s.break_m / (2 * kHoleRadius);
    w.balls = s.break_m / (2 * kBallRadius);
    w.edge_m = std::max(0.0, s.break_m - kHoleRadius);
    w.edge_holes = w.edge_m / (2 * kHoleRadius);
    w.edge_balls = w.edge_m / (2 * kBallRadius);
    return w;
}

SlipEffect slip_effect(const PracticeStation& s, double slip_m) {
    // Square to the start line either slip turns it by the slip over the distance from ball to marker.
    SlipEffect e;
    const double length = distance(s.ball, s.marker);
    e.marker_deg = e.ball_deg = degrees(std::atan2(slip_m, length));
    // The ball's slip also moves where the line starts; at the hole both come to about the slip itself.
    e.line_at_hole_m = s.distance_m * std::tan(radians(e.marker_deg));
    e.still_holes = std::max(e.marker_deg, e.ball_deg) <= narrower_half_deg(s.window);
    return e;
}

AimTrust aim_trust(const PracticeStation& s) {
    // The aim is offset off to the side over the distance d: its angle is atan(offset / d).
    AimTrust t;
    t.forgiven_deg = narrower_half_deg(s.window);
    if (!(s.break_se_m > 0)) return t;
    const double error = kZ90 * s.break_se_m, offset = std::abs(s.aim_offset_m);
    const auto angle = [&](double aim) { return degrees(std::atan2(aim, s.distance_m)); };
    t.error_deg = std::max(angle(offset + error) - angle(offset), angle(offset) - angle(offset - error));
    return t;
}

MarkerClearance marker_clearance(const PracticeStation& s) {
    MarkerClearance c;
    c.path_m = distance_to_path(s.marker, s.path);
    c.path = c.path_m >= kBallRadius + kPegRadiusM;
    const Vec2 start = start_of(s);
    const double along = std::abs(dot(s.marker - s.ball, start)), beside = std::abs(dot(s.marker - s.ball, right_of(start)));
    c.stance = along > kFeetAlongM || beside < kFeetNearM || beside > kFeetFarM;
    return c;
}

}  // namespace brae
