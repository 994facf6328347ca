// Every physical and trade constant of the program, with unit, reason and what moves when it moves.
#pragma once

#include <numbers>

namespace brae {

inline constexpr double kPi = std::numbers::pi;

// Standard gravity, m/s^2 (BIPM). Local gravity differs by 0.3 %, and so would every break.
inline constexpr double kGravity = 9.80665;

// International foot, inch and yard, m (exact by definition). A pace of the trade is one yard (common practice).
inline constexpr double kFoot = 0.3048;
inline constexpr double kInch = 0.0254;
inline constexpr double kPace = 0.9144;
// US survey foot, m (exact ratio). Only for reading files that say so.
inline constexpr double kUsSurveyFoot = 1200.0 / 3937.0;

// Smallest ball the Equipment Rules allow: diameter 1.680 in, mass 1.620 oz. Capture speeds scale with the radius.
inline constexpr double kBallRadius = 0.021336;
inline constexpr double kBallMass = 0.04593;

// Hole diameter 4 1/4 in, depth at least 4 in (Rules of Golf, Definitions). Holing windows scale with it.
inline constexpr double kHoleRadius = 0.053975;
inline constexpr double kHoleDepth = 0.1016;

// A solid sphere that rolls without slipping carries 2/5 of m v^2 in rotation: gravity along the slope acts with
// 1/(1 + 2/5). Leaving it out makes every break 40 % larger.
inline constexpr double kRollFactor = 5.0 / 7.0;

// Speed at which the green-speed ramp releases the ball, 6.00 ft/s. Another source says 6.4 ft/s; that would shrink
// every break by about 12 %. See docs/references.md.
inline constexpr double kRampReleaseMps = 6.0 * kFoot;

// Green speeds, ft, that the program accepts; turf readings lie between 6 and 14 (see docs/references.md).
inline constexpr double kSlowestGreenFt = 4.0;
inline constexpr double kFastestGreenFt = 16.0;

// One standard deviation of a green-speed reading, ft, where no readings of the day say better.
inline constexpr double kGreenSpeedSigmaFt = 0.5;

// Default pace: how far past the hole the ball would stop on level ground, m (12 in, common practice).
inline constexpr double kUsualPastM = 0.30;
inline constexpr double kDeadWeightPastM = 0.10;

// Sliding friction of a ball on turf before it rolls; 0.11 to 0.40 are reported on several surfaces.
inline constexpr double kSkidFriction = 0.30;

// A putt harder than this is not a putt: rays and searches end here, m/s.
inline constexpr double kFastestLaunchMps = 6.0;

}  // namespace brae
