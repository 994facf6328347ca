// From a nearby start to the exact solution of one putt, by Newton's method backwards or forwards.
#pragma once

#include "core/solve/ray_family.h"

#include <optional>

namespace brae {

// The conditions of one putt on one surface.
struct PuttGround {
    const HeightField& surface;
    const Outline& outline;
    Vec2 ball, hole;
    double level_decel = 0, hole_speed = 0;
};

// A launch: bearing of the start as an angle counter-clockwise from east, 3D speed along the surface.
struct Launch { double angle = 0, speed = 0; };

// Backward: moves (parameter, s) until the ray meets the ball within 1e-8 m (tolerance 1e-11 a step). The edge is
// not looked at. Empty where it does not converge.
struct BackSolution { double parameter = 0; RayPoint at_ball; };
std::optional<BackSolution> polish_backward(const PuttGround& ground, RayHit start);

// Forward: moves the launch until the roll meets the hole's centre at its speed there. Serves where backward rays
// bunch so much that an angle in double cannot tell them apart, and for small changes of the ground.
// The miss is under 1e-7 m and m/s (or 100 times the tolerance of a step).
std::optional<Launch> polish_forward(const PuttGround& ground, Launch start, double tolerance);

// How far a launch misses: signed offset (m) and shortfall of speed at the hole (m/s); for a ball that is to die at
// the hole, the place where it stops relative to the hole (m).
struct Miss { Vec2 value; bool defined = false; double size() const { return norm(value); } };
Miss miss_of(const PuttGround& ground, Launch launch, double tolerance);
// The same for a ball that is already on its way.
Miss miss_from(const PuttGround& ground, RollState start, double tolerance);

}  // namespace brae
