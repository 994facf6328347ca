#include "core/survey/point_grid.h"

#include <algorithm>
#include <cmath>

namespace brae {

PointGrid::PointGrid(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use, const Box& box, double cell,
                     const Progress& progress)
    : box_(box), cell_(cell) {
    cell_ = std::max({cell_, 1e-6, std::sqrt(box.width() * box.height() / 4e6), box.width() / 1e5, box.height() / 1e5});
    columns_ = static_cast<int>(box.width() / cell_) + 1;
    rows_ = static_cast<int>(box.height() / cell_) + 1;

    // Counting sort: how many a cell, where each starts, then the indices in order.
    start_.assign(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_) + 1, 0);
    const auto cell_of = [&](const Vec3& p) {
        return static_cast<std::size_t>(row_of(p.y)) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(column_of(p.x));
    };
    std::size_t inside = 0, looked = 0;
    for (std::uint32_t i : use) {
        if (looked++ % kPointsBetweenLooks == 0) progress.check();
        if (!box_.contains({points[i].x, points[i].y})) continue;
        ++start_[cell_of(points[i]) + 1];
        ++inside;
    }
    progress.check();
    for (std::size_t c = 1; c < start_.size(); ++c) start_[c] += start_[c - 1];
    index_.resize(inside);
    progress.check();
    std::vector<std::uint32_t> next(start_.begin(), start_.end() - 1);
    for (std::uint32_t i : use) {
        if (looked++ % kPointsBetweenLooks == 0) progress.check();
        if (box_.contains({points[i].x, points[i].y})) index_[next[cell_of(points[i])]++] = i;
    }
}

int PointGrid::column_of(double x) const { return std::clamp(static_cast<int>((x - box_.x0) / cell_), 0, columns_ - 1); }
int PointGrid::row_of(double y) const { return std::clamp(static_cast<int>((y - box_.y0) / cell_), 0, rows_ - 1); }

std::span<const std::uint32_t> PointGrid::at(int i, int j) const {
    if (i < 0 || j < 0 || i >= columns_ || j >= rows_) return {};
    const auto c = static_cast<std::size_t>(j) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(i);
    return std::span<const std::uint32_t>(index_).subspan(start_[c], start_[c + 1] - start_[c]);
}

std::vector<std::uint32_t> kept_indices(const std::vector<Vec3>& points, const std::vector<std::uint8_t>& removed) {
    std::vector<std::uint32_t> use;
    use.reserve(points.size());
    for (std::size_t i = 0; i < points.size(); ++i)
        if (i >= removed.size() || removed[i] == 0) use.push_back(static_cast<std::uint32_t>(i));
    return use;
}

Box box_of(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use) {
    if (use.empty()) return {};
    Box box{INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (std::uint32_t i : use) {
        box.x0 = std::min(box.x0, points[i].x);
        box.x1 = std::max(box.x1, points[i].x);
        box.y0 = std::min(box.y0, points[i].y);
        box.y1 = std::max(box.y1, points[i].y);
    }
    return box;
}

double point_spacing(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use, const Progress& progress) {
    if (use.size() < 2) return 1;
    progress.check();
    const Box box = box_of(points, use);
    progress.check();
    const double n = static_cast<double>(use.size());
    // Cells grow until an occupied one holds about four points; strays far away then weigh nothing.
    double spacing = std::sqrt(std::max(box.width() * box.height(), 1e-6) / n);
    double cell = spacing / 8;
    for (int round = 0; round < 40; ++round, cell *= 1.5) {
        const PointGrid grid(points, use, box, cell, progress);
        std::size_t occupied = 0;
        progress.check();
        for (int j = 0; j < grid.rows(); ++j)
            for (int i = 0; i < grid.columns(); ++i) occupied += !grid.at(i, j).empty();
        progress.check();
        // Cells at the edge are half empty.
        spacing = grid.cell() * std::sqrt(static_cast<double>(occupied) / n);
        if (grid.cell() >= 2 * spacing) break;
        cell = std::max(cell, grid.cell());
    }
    return spacing;
}

}  // namespace brae
