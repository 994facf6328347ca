// The eight points of the compass.
#pragma once

#include <array>
#include <cmath>
#include <string>

namespace brae {

struct CompassPoint { const char *sign, *word; };

// "NE" and "north-east" for a bearing of 45 degrees, clockwise from north; any bearing, the nearest point.
inline CompassPoint compass(double bearing_deg) {
    static constexpr std::array<CompassPoint, 8> points{{{"N", "north"}, {"NE", "north-east"}, {"E", "east"}, {"SE", "south-east"},
                                                         {"S", "south"}, {"SW", "south-west"}, {"W", "west"}, {"NW", "north-west"}}};
    const double turned = std::fmod(std::fmod(bearing_deg, 360.0) + 360.0, 360.0);
    return points[static_cast<std::size_t>(std::lround(turned / 45)) % 8];
}

}  // namespace brae
