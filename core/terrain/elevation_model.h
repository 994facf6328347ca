// Rasters over the green: heights, mask, standard errors. Views of the surface, for maps, files and reports.
#pragma once

#include "core/base/vec.h"

#include <cstddef>
#include <vector>

namespace brae {

// A regular raster of doubles; (x0, y0) is the outer south-west corner of cell (0, 0); row-major, south row first.
struct Raster {
    int columns = 0, rows = 0;
    double x0 = 0, y0 = 0, cell = 0;
    std::vector<double> values;

    Raster() = default;
    Raster(int columns_, int rows_, double x0_, double y0_, double cell_, double fill = 0)
        : columns(columns_), rows(rows_), x0(x0_), y0(y0_), cell(cell_),
          values(static_cast<std::size_t>(columns_) * rows_, fill) {}
    bool empty() const { return values.empty(); }
    std::size_t index(int i, int j) const { return static_cast<std::size_t>(j) * columns + i; }
    double at(int i, int j) const { return values[index(i, j)]; }
    double& at(int i, int j) { return values[index(i, j)]; }
    Vec2 centre(int i, int j) const { return {x0 + (i + 0.5) * cell, y0 + (j + 0.5) * cell}; }
};

// Heights on cells, the mask (1 = turf with data), and the standard errors of height (m) and slope (ratio).
// A cell with mask 0 has no height: its value is never read.
struct ElevationModel {
    Raster height;
    std::vector<unsigned char> mask;   // same layout as height
    Raster height_se;                  // m
    Raster slope_se;                   // ratio, of the slope's size
    bool has(int i, int j) const {
        return i >= 0 && j >= 0 && i < height.columns && j < height.rows && mask[height.index(i, j)] != 0;
    }
};

}  // namespace brae
