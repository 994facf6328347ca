#include "core/survey/point_grid.h"

#include "core/base/large_vector.h"
#include "core/base/parts.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <tbb/blocked_range.h>
#include <tbb/parallel_reduce.h>

namespace brae {

namespace {

// The cell that a box allows.
double cell_for(const Box& box, double cell) {
    return std::max({cell, 1e-6, std::sqrt(box.width() * box.height() / 4e6), box.width() / 1e5, box.height() / 1e5});
}

}  // namespace

PointGrid::PointGrid(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use, const Box& box, double cell,
                     const Progress& progress)
    : box_(box), cell_(cell_for(box, cell)) {
    columns_ = static_cast<int>(box.width() / cell_) + 1;
    rows_ = static_cast<int>(box.height() / cell_) + 1;

    // The order within a cell is that of `use`.
    const std::size_t cells = static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_);
    index_ = large_vector<std::uint32_t>(use.size(), progress);
    start_ = sort_into_bins(
        use.size(), cells,
        [&](std::size_t k) {
            const Vec3& p = points[use[k]];
            if (!box_.contains({p.x, p.y})) return cells;
            return static_cast<std::size_t>(row_of(p.y)) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(column_of(p.x));
        },
        [&](std::size_t k, std::uint32_t at) { index_[at] = use[k]; }, progress);
    index_.resize(start_.back());
}

std::span<const std::uint32_t> PointGrid::at(int i, int j) const {
    if (i < 0 || j < 0 || i >= columns_ || j >= rows_) return {};
    const auto c = static_cast<std::size_t>(j) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(i);
    return std::span<const std::uint32_t>(index_).subspan(start_[c], start_[c + 1] - start_[c]);
}

std::vector<std::uint32_t> kept_indices(const std::vector<Vec3>& points, const std::vector<std::uint8_t>& removed, const Progress& progress) {
    const std::size_t n = points.size(), parts = n / kPointsBetweenLooks + 1;
    const auto stays = [&](std::size_t k) { return k >= removed.size() || removed[k] == 0; };
    std::vector<std::size_t> start(parts + 1, 0);
    for_parts(n, parts, progress, [&](std::size_t part, std::size_t begin, std::size_t end) {
        for (std::size_t k = begin; k < end; ++k) start[part + 1] += stays(k);
    });
    for (std::size_t part = 0; part < parts; ++part) start[part + 1] += start[part];
    std::vector<std::uint32_t> use = large_vector<std::uint32_t>(start.back(), progress);
    for_parts(n, parts, progress, [&](std::size_t part, std::size_t begin, std::size_t end) {
        std::size_t at = start[part];
        for (std::size_t k = begin; k < end; ++k)
            if (stays(k)) use[at++] = static_cast<std::uint32_t>(k);
    });
    return use;
}

Box box_of(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use) {
    if (use.empty()) return {};
    const auto widest = [](const Box& a, const Box& b) { return Box{std::min(a.x0, b.x0), std::min(a.y0, b.y0), std::max(a.x1, b.x1), std::max(a.y1, b.y1)}; };
    return tbb::parallel_reduce(
        tbb::blocked_range<std::size_t>(0, use.size(), 65536), Box{INFINITY, INFINITY, -INFINITY, -INFINITY},
        [&](const tbb::blocked_range<std::size_t>& range, Box box) {
            for (std::size_t k = range.begin(); k < range.end(); ++k) {
                const Vec3& p = points[use[k]];
                box = widest(box, {p.x, p.y, p.x, p.y});
            }
            return box;
        },
        widest);
}

double point_spacing(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use, const Progress& progress) {
    if (use.size() < 2) return 1;
    progress.check();
    const Box box = box_of(points, use);
    progress.check();
    // Of very many points every so-many-th: the area that they cover is the same.
    constexpr std::size_t kEnough = 1'000'000;
    const std::size_t stride = std::max<std::size_t>(1, use.size() / kEnough), count = (use.size() + stride - 1) / stride;
    const double n = static_cast<double>(count);
    // Cells grow until an occupied one holds about four points; strays far away then weigh nothing.
    double spacing = std::sqrt(std::max(box.width() * box.height(), 1e-6) / n);
    double cell = cell_for(box, spacing / 8);
    std::vector<std::uint8_t> occupied;
    for (int round = 0; round < 40; ++round, cell *= 1.5) {
        progress.check();
        const std::size_t columns = static_cast<std::size_t>(box.width() / cell) + 1, rows = static_cast<std::size_t>(box.height() / cell) + 1;
        occupied.assign(columns * rows, 0);
        for_parts(count, count / 65536 + 1, progress, [&](std::size_t, std::size_t begin, std::size_t end) {
            for (std::size_t k = begin; k < end; ++k) {
                const Vec3& p = points[use[k * stride]];
                const std::size_t i = static_cast<std::size_t>((p.x - box.x0) / cell), j = static_cast<std::size_t>((p.y - box.y0) / cell);
                // Whoever comes first writes the same.
                std::atomic_ref(occupied[std::min(j, rows - 1) * columns + std::min(i, columns - 1)]).store(1, std::memory_order_relaxed);
            }
        });
        progress.check();
        // Cells at the edge are half empty.
        spacing = cell * std::sqrt(static_cast<double>(std::count(occupied.begin(), occupied.end(), 1)) / n);
        if (cell >= 2 * spacing) break;
    }
    return spacing * std::sqrt(n / static_cast<double>(use.size()));
}

}  // namespace brae
