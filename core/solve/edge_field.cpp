#include "core/solve/edge_field.h"

#include <algorithm>
#include <cmath>

namespace brae {

EdgeField::EdgeField(const Outline& outline) {
    const Box& box = outline.box();
    constexpr double kMargin = 1.5;
    x0_ = box.x0 - kMargin;
    y0_ = box.y0 - kMargin;
    columns_ = static_cast<int>((box.width() + 2 * kMargin) / kCell) + 1;
    rows_ = static_cast<int>((box.height() + 2 * kMargin) / kCell) + 1;
    const auto keep = [&](const std::vector<Vec2>& ring) {
        for (std::size_t i = 0; i < ring.size(); ++i) side_.push_back({ring[i], ring[(i + 1) % ring.size()]});
    };
    keep(outline.ring());
    for (const auto& gap : outline.gaps()) keep(gap);

    // The sides of each cell: those whose samples, less than half a cell apart, fall in it or beside it.
    const std::size_t cells = static_cast<std::size_t>(columns_) * rows_;
    std::vector<std::vector<std::uint32_t>> near(cells);
    for (std::uint32_t k = 0; k < side_.size(); ++k) {
        const auto [a, b] = side_[k];
        const int steps = static_cast<int>(distance(a, b) / (0.4 * kCell)) + 1;
        for (int s = 0; s <= steps; ++s) {
            const Vec2 p = a + (double(s) / steps) * (b - a);
            const int i = column(p.x), j = row(p.y);
            for (int dj = -1; dj <= 1; ++dj)
                for (int di = -1; di <= 1; ++di) {
                    if (i + di < 0 || j + dj < 0 || i + di >= columns_ || j + dj >= rows_) continue;
                    auto& list = near[static_cast<std::size_t>(j + dj) * columns_ + i + di];
                    if (list.empty() || list.back() != k) list.push_back(k);
                }
        }
    }
    first_.assign(cells + 1, 0);
    for (std::size_t c = 0; c < cells; ++c) {
        sides_.insert(sides_.end(), near[c].begin(), near[c].end());
        first_[c + 1] = static_cast<std::uint32_t>(sides_.size());
    }

    // Chessboard distance to the cells with sides, in two sweeps; the sign is that of the centre.
    steps_.assign(cells, 30000);
    for (std::size_t c = 0; c < cells; ++c)
        if (!near[c].empty()) steps_[c] = 0;
    const auto lower = [&](int i, int j, int di, int dj) {
        if (i + di < 0 || j + dj < 0 || i + di >= columns_ || j + dj >= rows_) return;
        auto& here = steps_[static_cast<std::size_t>(j) * columns_ + i];
        const int other = steps_[static_cast<std::size_t>(j + dj) * columns_ + i + di];
        here = static_cast<std::int16_t>(std::min<int>(here, other + 1));
    };
    for (int j = 0; j < rows_; ++j)
        for (int i = 0; i < columns_; ++i)
            for (const auto& [di, dj] : {std::pair{-1, 0}, {-1, -1}, {0, -1}, {1, -1}}) lower(i, j, di, dj);
    for (int j = rows_ - 1; j >= 0; --j)
        for (int i = columns_ - 1; i >= 0; --i)
            for (const auto& [di, dj] : {std::pair{1, 0}, {1, 1}, {0, 1}, {-1, 1}}) lower(i, j, di, dj);
    for (int j = 0; j < rows_; ++j)
        for (int i = 0; i < columns_; ++i) {
            auto& here = steps_[static_cast<std::size_t>(j) * columns_ + i];
            if (here > 0 && !outline.contains({x0_ + (i + 0.5) * kCell, y0_ + (j + 0.5) * kCell}))
                here = static_cast<std::int16_t>(-here);
        }
}

bool EdgeField::crosses(Vec2 a, Vec2 b) const {
    const auto cut = [](Vec2 p, Vec2 q, Vec2 r, Vec2 s) {
        const double u = cross(q - p, r - p), v = cross(q - p, s - p);
        const double w = cross(s - r, p - r), z = cross(s - r, q - r);
        return (u > 0) != (v > 0) && (w > 0) != (z > 0);
    };
    // Sides of the cell of a reach a whole cell beyond it; longer segments go in parts.
    const int parts = 1 + static_cast<int>(distance(a, b) / (0.75 * kCell));
    Vec2 p = a;
    for (int n = 1; n <= parts; ++n) {
        const Vec2 q = n == parts ? b : a + (double(n) / parts) * (b - a);
        const std::size_t c = cell_of(p);
        for (std::uint32_t k = first_[c]; k < first_[c + 1]; ++k)
            if (cut(p, q, side_[sides_[k]].a, side_[sides_[k]].b)) return true;
        p = q;
    }
    return false;
}

}  // namespace brae
