// Candidates of a green and the loop over them: in parallel by chunks, results by index, cancel between chunks.
#pragma once

#include "core/base/progress.h"
#include "core/plan/zones.h"
#include "core/terrain/terrain_model.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <tbb/parallel_for.h>
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

// Runs f(index) for all, reporting progress from `from` to `to`.
template <typename F>
void for_all(std::size_t count, Progress& progress, double from, double to, const std::string& stage, const F& f) {
    constexpr std::size_t kChunk = 128;
    for (std::size_t begin = 0; begin < count; begin += kChunk) {
        progress.step(from + (to - from) * static_cast<double>(begin) / static_cast<double>(count), stage);
        tbb::parallel_for(begin, std::min(count, begin + kChunk), f);
    }
}

}  // namespace brae
