#include "core/terrain/data_gaps.h"

#include <map>
#include <utility>

namespace brae {

namespace {

constexpr double kSmallestGapM2 = 0.25;

using Node = std::pair<int, int>;  // corner of a cell: column, row

}  // namespace

std::vector<std::vector<Vec2>> gap_rings(const ElevationModel& grid, const Outline& outline) {
    const Raster& h = grid.height;
    const auto gap = [&](int i, int j) {
        return i >= 0 && j >= 0 && i < h.columns && j < h.rows && !grid.has(i, j) && outline.contains(h.centre(i, j));
    };

    // Sides between a gap cell and any other, directed so that the gap lies to the left.
    std::multimap<Node, Node> sides;
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i) {
            if (!gap(i, j)) continue;
            if (!gap(i, j - 1)) sides.insert({{i, j}, {i + 1, j}});
            if (!gap(i + 1, j)) sides.insert({{i + 1, j}, {i + 1, j + 1}});
            if (!gap(i, j + 1)) sides.insert({{i + 1, j + 1}, {i, j + 1}});
            if (!gap(i - 1, j)) sides.insert({{i, j + 1}, {i, j}});
        }

    // Walk them into rings; where two patches touch at a corner the sharper left turn keeps them apart.
    std::vector<std::vector<Vec2>> rings;
    while (!sides.empty()) {
        const Node start = sides.begin()->first;
        Node from = start, at = sides.begin()->second;
        sides.erase(sides.begin());
        std::vector<Node> walk{start};
        while (at != start) {
            const auto [first, last] = sides.equal_range(at);
            if (first == last) break;  // cannot happen: every corner is left as often as it is entered
            auto next = first;
            for (auto k = first; k != last; ++k) {
                const int turn = (at.first - from.first) * (k->second.second - at.second) -
                                 (at.second - from.second) * (k->second.first - at.first);
                if (turn > 0) next = k;
            }
            walk.push_back(at);
            from = at;
            at = next->second;
            sides.erase(next);
        }

        // Corners only, in metres; rings that run clockwise bound islands of data.
        std::vector<Vec2> ring;
        double twice = 0;
        for (std::size_t k = 0, n = walk.size(); k < n; ++k) {
            const Node before = walk[(k + n - 1) % n], here = walk[k], after = walk[(k + 1) % n];
            twice += double(here.first) * after.second - double(after.first) * here.second;
            const bool straight = (here.first - before.first) * (after.second - here.second) ==
                                  (here.second - before.second) * (after.first - here.first);
            if (!straight) ring.push_back({h.x0 + here.first * h.cell, h.y0 + here.second * h.cell});
        }
        if (twice / 2 * h.cell * h.cell >= kSmallestGapM2) rings.push_back(std::move(ring));
    }
    return rings;
}

}  // namespace brae
