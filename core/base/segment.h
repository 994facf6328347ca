// The point of a straight segment that is nearest to another, and a path's distance from a point.
#pragma once

#include "core/base/vec.h"

#include <algorithm>
#include <limits>
#include <vector>

namespace brae {

// Of the segment a-b, ends included; a where it has no length.
inline Vec2 nearest_on_segment(Vec2 p, Vec2 a, Vec2 b) {
    const Vec2 d = b - a;
    const double length2 = dot(d, d);
    const double t = length2 > 0 ? std::clamp(dot(p - a, d) / length2, 0.0, 1.0) : 0.0;
    return a + t * d;
}

// From p to the polyline; infinite with fewer than two points.
inline double distance_to_path(Vec2 p, const std::vector<Vec2>& path) {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i + 1 < path.size(); ++i) least = std::min(least, distance(nearest_on_segment(p, path[i], path[i + 1]), p));
    return least;
}

}  // namespace brae
