// Rings that limit what may be put where: inside or not, by crossing number.
#pragma once

#include "core/base/vec.h"

#include <vector>

namespace brae {

inline bool inside_ring(const std::vector<Vec2>& ring, Vec2 p) {
    bool inside = false;
    for (std::size_t i = 0, n = ring.size(); i < n; ++i) {
        const Vec2 a = ring[i], b = ring[(i + 1) % n];
        if ((a.y > p.y) != (b.y > p.y) && (cross(b - a, p - a) > 0) == (b.y > a.y)) inside = !inside;
    }
    return inside;
}

inline bool inside_any(const std::vector<std::vector<Vec2>>& rings, Vec2 p) {
    for (const auto& ring : rings)
        if (inside_ring(ring, p)) return true;
    return false;
}

}  // namespace brae
