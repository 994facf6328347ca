// Does the hole take a ball that passes its centre at this offset and speed? Plain free fall on level ground.
#pragma once

namespace brae {

// Fastest speed, m/s, at which a ball whose path passes at |offset_m| from the centre drops before it meets the far
// rim: [sqrt(R^2 - d^2) + sqrt((R - r)^2 - d^2)] sqrt(g / 2r) (Holmes 1991; Penner 2002 for d = 0: 1.31 m/s).
// 0 for |d| > R - r, where free fall does not answer and only the mechanics of the rim could.
double free_fall_capture_speed(double offset_m) noexcept;

// Captured by free fall, or at rest with the centre of the ball over the hole.
bool captured(double offset_m, double speed_mps) noexcept;

}  // namespace brae
