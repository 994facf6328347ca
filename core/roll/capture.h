// Does the hole take a ball that passes its centre at this offset and speed?
#pragma once

#include "core/roll/rim.h"

#include <string>

namespace brae {

// Which mechanics decide: the table of the rim's simulation, or plain free fall on level ground.
enum class CaptureModel { rim, free_fall };
// The rim's mechanics; its largest speeds rest on an assumed bounce (core/roll/capture_sensitivity.h tells where).
inline constexpr CaptureModel kDefaultCapture = CaptureModel::rim;
std::string to_text(CaptureModel model);  // rim, free fall

// Uncertain: some speeds round there drop and some do not, by how the ball bounces.
enum class Capture { drops, uncertain, misses };

// By the rim's mechanics; slope, angle and resistance count. Resistance ends at the near rim, so that a ball arrives
// over the hole faster than its uninterrupted path tells, by a_level sqrt(R^2 - d^2) of speed^2 / 2.
Capture rim_capture(const HoleApproach& approach) noexcept;

// Fastest speed, m/s, at which a ball whose path passes at |offset_m| from the centre drops before it meets the far
// rim: [sqrt(R^2 - d^2) + sqrt((R - r)^2 - d^2)] sqrt(g / 2r) (Holmes 1991; Penner 2002 for d = 0: 1.31 m/s).
// 0 for |d| > R - r, where free fall does not answer and only the mechanics of the rim could.
double free_fall_capture_speed(double offset_m) noexcept;

// Captured by free fall, or at rest with the centre of the ball over the hole.
bool captured(double offset_m, double speed_mps) noexcept;

// By either; at rest a ball is in when its centre is over the hole.
Capture capture(CaptureModel model, const HoleApproach& approach) noexcept;

}  // namespace brae
