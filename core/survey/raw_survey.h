// One file as read: its own coordinates and units, nothing dropped or moved yet.
#pragma once

#include "core/base/vec.h"

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// A row that carries a point name or a code.
struct RawLevel {
    Vec3 p;
    std::string name, code, description;
    bool beyond = false;  // outside the clip box: kept only for the ring of edge points that it belongs to
};

struct RawSurvey {
    enum class Kind { cloud, raster, levels };

    std::filesystem::path path;
    Kind kind = Kind::cloud;
    std::vector<Vec3> points;      // clouds and rasters (cell centres), map coordinates
    std::vector<RawLevel> levels;  // level lists
    std::size_t rows = 0;          // vertices, lines or cells in the file
    std::string crs;               // as the file names it, "" where it does not
    std::optional<double> metres_per_unit, metres_per_height;  // where the file says so beside or without a system
    // Raster: the vectors from one cell to the next, map units.
    Vec2 cell_column, cell_row;
    std::vector<std::string> warnings;
};

// For files of 32-bit numbers: the largest step between two neighbouring numbers of the size of `largest`, in its unit.
double float32_step(double largest);
// Adds a warning where positions or heights of a 32-bit file are stepped by more than a millimetre.
void warn_of_steps(RawSurvey& raw, bool float_xy, bool float_z);

}  // namespace brae
