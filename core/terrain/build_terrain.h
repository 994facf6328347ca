// From a cleaned survey to the terrain model: choose the cell and the smoothing, fit the spline, say how good it is.
#pragma once

#include "core/base/progress.h"
#include "core/terrain/terrain_model.h"

#include <optional>

namespace brae {

// The sentence among the warnings while nobody has drawn or picked an edge.
inline constexpr const char* kNoOutlineWarning =
    "no outline was given, so the edge is the boundary of the data and may hold longer grass";

struct BuildOptions {
    double cell_m = 0;                  // 0: from the density, between 0.10 and 0.50 m
    std::optional<double> smoothing;    // empty: by restricted maximum likelihood
    double largest_gap_m = 2.5;         // farther than this from any point there is no data
};

// Penalised least squares on a bicubic B-spline, penalty on third derivatives, smoothing by REML; planes and
// quadratics are reproduced to 1e-9 m from noise-free points. The spline reaches one cell beyond the outline.
// Throws Error when the survey is not a surface (more than one height in a place), has too few points for its size,
// or has an outline of which less than half is covered by data.
TerrainModel build_terrain(const Survey& survey, const BuildOptions& options, Progress& progress);

SlopeSummary slope_summary(const TerrainModel& model);

}  // namespace brae
