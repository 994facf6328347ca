// The outline as a raster: how far a place is from the edge at least, and which sides pass near it. For paths by the
// ten thousand, which the outline's own exact queries would be slow for.
#pragma once

#include "core/survey/outline.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

namespace brae {

class EdgeField {
public:
    explicit EdgeField(const Outline& outline);

    // Lower bound of the distance to the edge, m: over 0 inside, under 0 outside, 0 next to it. Clamped beyond the box.
    double clearance(Vec2 p) const { return steps_[cell_of(p)] * kCell; }   // cells with sides reach a cell beyond the side itself
    // Does the short segment a-b meet a side of the outline or of a gap?
    bool crosses(Vec2 a, Vec2 b) const;
    // Does a path from p meet one, in `parts` chords of at most chord_m? at(n) is where its n-th chord ends. Chords that cannot come as
    // far as the edge are passed over.
    template <class At>
    bool crosses_path(Vec2 p, int parts, double chord_m, const At& at) const {
        for (int n = 0; n < parts;) {
            const int free = static_cast<int>(std::abs(clearance(p)) / (1.25 * chord_m));   // a quarter over for the path's own length
            n = std::min(parts, n + std::max(1, free));
            const Vec2 q = at(n);
            if (free == 0 && crosses(p, q)) return true;
            p = q;
        }
        return false;
    }

private:
    // Truncation is the floor of what is clamped at zero.
    int column(double x) const { return static_cast<int>(std::clamp((x - x0_) / kCell, 0.0, columns_ - 1.0)); }
    int row(double y) const { return static_cast<int>(std::clamp((y - y0_) / kCell, 0.0, rows_ - 1.0)); }
    std::size_t cell_of(Vec2 p) const { return static_cast<std::size_t>(row(p.y)) * columns_ + column(p.x); }

    static constexpr double kCell = 0.25;
    double x0_ = 0, y0_ = 0;
    int columns_ = 0, rows_ = 0;
    std::vector<std::int16_t> steps_;           // signed chessboard distance to the cells that a side touches
    std::vector<std::uint32_t> first_;          // sides of cell c: sides_[first_[c]] up to first_[c + 1]
    std::vector<std::uint32_t> sides_;
    struct Side { Vec2 a, b; };
    std::vector<Side> side_;
};

}  // namespace brae
