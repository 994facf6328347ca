// What is read off a finished station: gate, turning point, string and square offset, break in widths, and what a slip of
// the tape does. Pure functions of the station; nothing is solved again.
#pragma once

#include "core/plan/practice_stations.h"

namespace brae {

// Two tees on the start line near the ball that the ball passes between when it starts within a tolerance.
// Inner width = ball + 2 L tan(tolerance) (derived: the ball's edge may touch the line of each tee).
struct StartGate {
    Vec2 centre, left, right;      // right and left as the player looks
    double ahead_m = 0;            // L, from the ball
    double tolerance_deg = 0;      // to either side
    double width_m = 0;            // between the tees
};
inline constexpr double kGateAheadM = 0.5;
// The tolerance is the narrower half of the station's holing window, but 0.3 to 2 degrees: under that no tee can be set,
// over it the gate teaches nothing.
StartGate start_gate(const PracticeStation& station, double ahead_m = kGateAheadM);

// The point of the path farthest from the straight ball-hole line. The ball passes here; the aim is farther out, on the
// start line. Empty for a straight putt (under 1 cm).
struct TurningPoint { Vec2 p; double from_line_m = 0, along_m = 0; };   // along: from the ball on the ball-hole line
std::optional<TurningPoint> turning_point(const PracticeStation& station);

// A string from the ball over the hole, and the marker square to it: how far along the string (from the ball) and how far
// out. For the marker of a station along is the distance to the hole.
struct StringSetting { double along_m = 0, out_m = 0; bool right = true; };
StringSetting string_setting(const PracticeStation& station, Vec2 p);

// The break in widths, from the centre and from the hole's edge; 0 from the edge where the aim is inside.
struct BreakWidths { double holes = 0, balls = 0, edge_m = 0, edge_holes = 0, edge_balls = 0; };
BreakWidths break_widths(const PracticeStation& station);

// What a slip of so much does, in the direction where it does most: of the marker (the start line turns by this much, to
// be held against the window) and of the ball's spot with the marker as it was.
struct SlipEffect {
    double marker_deg = 0, ball_deg = 0;   // change of the start direction
    double line_at_hole_m = 0;             // the larger of the two where the ball passes the hole, by the start line
    bool still_holes = true;               // the larger is within the narrower half of the window
};
SlipEffect slip_effect(const PracticeStation& station, double slip_m = 0.02);

// How far the aim itself may be off, in nine of ten cases, against what the hole forgives: both as the change of the start
// direction. The first follows from the break's standard error, with the aim moved on the line square to the ball-hole line.
struct AimTrust {
    double error_deg = 0, forgiven_deg = 0;   // forgiven: the narrower half of the holing window
    bool enough() const { return error_deg <= forgiven_deg; }
};
AimTrust aim_trust(const PracticeStation& station);

// Is the marker clear of the ball's path (ball and peg) and of the player's feet, an upright box 0.3 to 0.7 m beside the
// ball and 0.5 m along the line on either side, on both hands? For a short putt with a wide aim it may not be.
struct MarkerClearance { bool path = true, stance = true; double path_m = 0; };   // path_m: from the path's middle
MarkerClearance marker_clearance(const PracticeStation& station);

}  // namespace brae
