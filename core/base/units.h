// Conversions between the inside (SI, radians) and the edge (feet, inches, percent, degrees, bearings).
#pragma once

#include "core/base/constants.h"
#include "core/base/vec.h"

#include <cmath>

namespace brae {

constexpr double radians(double degrees) { return degrees * (kPi / 180.0); }
constexpr double degrees(double radians) { return radians * (180.0 / kPi); }
constexpr double metres_from_feet(double feet) { return feet * kFoot; }
constexpr double feet_from_metres(double metres) { return metres / kFoot; }
constexpr double inches_from_metres(double metres) { return metres / kInch; }
constexpr double percent(double ratio) { return 100.0 * ratio; }

// Bearing of a direction, degrees clockwise from grid north, in [0, 360).
inline double bearing_deg(Vec2 direction) {
    const double b = degrees(std::atan2(direction.x, direction.y));
    return b < 0 ? b + 360.0 : b;
}
// Unit direction of a bearing in degrees clockwise from grid north.
inline Vec2 direction_of_bearing(double bearing) {
    return {std::sin(radians(bearing)), std::cos(radians(bearing))};
}
// Angle wrapped into (-pi, pi].
inline double wrapped(double angle) {
    const double a = std::remainder(angle, 2 * kPi);
    return a <= -kPi ? a + 2 * kPi : a;
}

}  // namespace brae
