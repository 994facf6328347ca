// The candidate places of a green.
#pragma once

#include "core/plan/zones.h"
#include "core/terrain/terrain_model.h"

#include <cmath>
#include <vector>

namespace brae {

// The places of a lattice that is fixed to the local origin, so that a small change of the outline moves none.
inline std::vector<Vec2> candidates_on(const TerrainModel& terrain, double spacing, const std::vector<std::vector<Vec2>>& zones) {
    std::vector<Vec2> out;
    const Box& box = terrain.outline.box();
    for (double j = std::ceil(box.y0 / spacing); j * spacing <= box.y1; ++j)
        for (double i = std::ceil(box.x0 / spacing); i * spacing <= box.x1; ++i) {
            const Vec2 p{i * spacing, j * spacing};
            if (terrain.outline.contains(p) && !inside_any(zones, p)) out.push_back(p);
        }
    return out;
}

}  // namespace brae
