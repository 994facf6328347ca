// From the speed off the putter's face to the speed of pure rolling, and back.
#pragma once

#include "core/base/constants.h"

namespace brae {

// A ball struck without spin slides for 12 u^2 / (49 mu g) and then rolls at 5/7 of its speed u (standard mechanics).
struct Skid { double length_m = 0, time_s = 0, rolling_mps = 0; };
Skid skid(double ball_speed_mps, double friction = kSkidFriction) noexcept;

// Ball speed off the face that, after its skid on level ground, runs as far as a ball that rolled at once at launch_mps.
double ball_speed_for_launch(double launch_mps, double green_speed_ft, double friction = kSkidFriction);
double launch_for_ball_speed(double ball_speed_mps, double green_speed_ft, double friction = kSkidFriction);

}  // namespace brae
