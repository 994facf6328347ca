// Rings that limit what may be put where: inside or not.
#pragma once

#include "core/survey/ring.h"

#include <vector>

namespace brae {

// A zone's edge belongs to it.
inline bool inside_any(const std::vector<std::vector<Vec2>>& rings, Vec2 p) {
    for (const auto& ring : rings)
        if (side_of_ring(ring, p) >= 0) return true;
    return false;
}

}  // namespace brae
