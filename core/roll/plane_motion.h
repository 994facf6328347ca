// The last centimetre per second of a roll in closed form, on the plane that touches the surface there.
#pragma once

#include "core/roll/rolling.h"

namespace brae {

// Below this speed along the surface, m/s, the tangent plane serves (docs/physics.md: under 1e-7 m of error).
inline constexpr double kTangentSpeed = 0.01;

// How a ball comes to rest on the tangent plane: horizontal displacement, its time, and e = a_g / a_f.
// Where e >= 1 it does not come to rest; displacement and time are then 0.
struct TangentStop { Vec2 displacement; double time_s = 0, e = 0; };
TangentStop stop_on_tangent_plane(const SurfaceJet& jet, Vec2 v, double level_decel) noexcept;

// e = a_g / a_f of a place: at 1 and above no ball stops there.
double slope_ratio_to_grip(const SurfaceJet& jet, double level_decel) noexcept;

}  // namespace brae
