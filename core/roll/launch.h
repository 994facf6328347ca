// From the putter's face to pure rolling on the real ground: a small jump, the skid, with loft and spin.
#pragma once

#include "core/base/constants.h"
#include "core/roll/rolling.h"

namespace brae {

// Own assumptions where no source is named.
struct PutterStrike {
    double loft = 3 * kPi / 180;       // dynamic loft at impact, rad; 2-4 degrees are usual (common practice)
    double face_restitution = 0.8;     // of ball on face; assumption, moves launch angle and spin by a few per cent
    double friction = kSkidFriction;   // ball on turf; 0.11 to 0.40 are reported (second-hand)
    double turf_restitution = 0.2;     // assumption; the jump is millimetres high
    double added_topspin = 0;          // r times the spin over the ball's speed, beside what the loft gives
};

// A heavy face moves level and the ball does not slip on it (standard mechanics, docs/physics.md): the ball leaves at
// less than the loft, with backspin. Both from the loft L and the face's restitution e.
double launch_angle(const PutterStrike& strike) noexcept;   // L - atan(2/7 tan L / (1 + e)), rad
// r times the spin over the ball's speed, topspin positive: -(5/7) tan L / sqrt((1 + e)^2 + (2/7 tan L)^2) + added.
double launch_spin(const PutterStrike& strike) noexcept;

// How far the face turns when the lie is wrong by `lie_error`: atan(tan L sin d), rad, towards the heel side with the
// toe up (derived).
double face_turn(double loft, double lie_error) noexcept;

struct SkidPath {
    RollState rolling;           // where it rolls without slipping, horizontal
    double rolling_mps = 0;      // along the surface
    double length_m = 0, time_s = 0;            // horizontal, from the start
    double jump_length_m = 0, jump_height_m = 0;
    bool rolls = false;          // false: still slipping after 10 s or off where the surface is a number
};

// Forward simulation in 3D: flights between impacts with Coulomb friction, then sliding under the surface's pressure
// until the slip is gone. Rolling resistance does not act on a sliding ball, nor do outlines.
// ball_speed_mps: off the face, 0 to 20 m/s, else Error(usage). Steps of 0.1 ms, fourth order.
SkidPath skid_on_surface(const HeightField& surface, Vec2 ball, Vec2 direction, double ball_speed_mps,
                         const PutterStrike& strike = {});

// Speed with which a ball that rolled at once runs as far on level ground: sqrt(v_rolling^2 + 2 a_level length).
double equivalent_launch(const SkidPath& path, double green_speed_ft);
// Ball speed off the face for a launch speed on the level, by halving; agrees with skid.h without loft and spin.
double ball_speed_for_launch(double launch_mps, double green_speed_ft, const PutterStrike& strike);

}  // namespace brae
