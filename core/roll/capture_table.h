// The capture limit of the rim, looked up: fast enough for a solver, made from the simulation (core/roll/rim.h).
#pragma once

#include "core/roll/capture_limit.h"

#include <cstdint>

namespace brae {

// The grid: offsets R (1 - u^2) with u = 0 to 1, so that they lie close where the limit falls to 0 at the rim; slopes
// 0, 3 and 6 %; directions every 30 degrees. Mirrored: (offset, angle) and (-offset, -angle) are one.
struct CaptureGrid {
    static constexpr int kOffsets = 64, kAngles = 12, kSlopes = 2;   // offsets beside u = 0; slopes beside level
    static constexpr double kSlopeStep = 0.03;
};

// Interpolated linearly in u, slope and angle. offset_m signed (right positive), slope over 6 % counts as 6 %, angle
// from straight downhill. Both 0 from |offset| = R on. Without resistance of the green; default settings of the rim.
// Largest |table - simulation|, m/s, anywhere and for |offset| under kCaptureTableInner (docs/physics.md).
inline constexpr double kCaptureTableError = 0.1, kCaptureTableInner = 0.050, kCaptureTableInnerError = 0.006;

CaptureLimit tabled_capture_limit(double offset_m, double slope, double angle) noexcept;

}  // namespace brae
