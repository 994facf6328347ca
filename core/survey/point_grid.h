// Points sorted into square cells, so that neighbours are found by counting instead of searching.
#pragma once

#include "core/base/progress.h"
#include "core/base/vec.h"
#include "core/survey/outline.h"

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

namespace brae {

// Points that a plain loop goes through between two looks at Cancel: some ten milliseconds of work.
inline constexpr std::size_t kPointsBetweenLooks = 65536;

// Indices of points by cell; the order within a cell is that of the points. Points outside `box` are left out.
class PointGrid {
public:
    // `use` gives the indices to sort in. The cell grows where the box would need more than 4 million cells.
    PointGrid(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use, const Box& box, double cell, const Progress& progress = {});

    int columns() const { return columns_; }
    int rows() const { return rows_; }
    double cell() const { return cell_; }
    const Box& box() const { return box_; }
    int column_of(double x) const { return std::clamp(static_cast<int>((x - box_.x0) / cell_), 0, columns_ - 1); }
    int row_of(double y) const { return std::clamp(static_cast<int>((y - box_.y0) / cell_), 0, rows_ - 1); }
    Vec2 centre(int i, int j) const { return {box_.x0 + (i + 0.5) * cell_, box_.y0 + (j + 0.5) * cell_}; }
    std::span<const std::uint32_t> at(int i, int j) const;

private:
    Box box_;
    double cell_ = 1;
    int columns_ = 1, rows_ = 1;
    std::vector<std::uint32_t> start_, index_;
};

// Box of the points that are kept (`removed` empty or 0), and their indices.
std::vector<std::uint32_t> kept_indices(const std::vector<Vec3>& points, const std::vector<std::uint8_t>& removed, const Progress& progress = {});
Box box_of(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use);

// Mean distance between neighbours: the root of the area that each point has to itself, over the cells that hold points.
double point_spacing(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use, const Progress& progress = {});

}  // namespace brae
