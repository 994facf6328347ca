// The line through the hole square to the ball-hole line: where a ball crosses it is the side on which it passed.
#pragma once

#include "core/roll/rolling.h"

#include <optional>

namespace brae {

// along: unit vector from the ball to the hole; right: the player's right.
struct HoleLine {
    Vec2 hole, along, right;
    HoleLine(Vec2 ball, Vec2 the_hole) : hole(the_hole), along(unit(the_hole - ball)), right(right_of(along)) {}
    double beyond(Vec2 p) const { return dot(p - hole, along); }   // negative: short of the line
    double offset(Vec2 p) const { return dot(p - hole, right); }   // positive to the player's right
};

// The first crossing from short of the line to beyond it, as if the hole had been covered.
struct Crossing { double time_s = 0, offset_m = 0, speed_mps = 0; RollState at; };

// Located to 1e-9 m (0.5 mm where the ball comes to rest within 0.5 mm of the line); empty where the ball stops or
// leaves the green before the line. An empty outline means no edge.
std::optional<Crossing> first_crossing(const HeightField& surface, const Outline& outline, RollState start,
                                       double level_decel, const HoleLine& line);

// The state after this time, at rest where the ball has come to rest by then.
RollState state_after(const HeightField& surface, RollState start, double level_decel, double time_s);

}  // namespace brae
