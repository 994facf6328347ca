// Slope, aspect and curvature of the surface, and lines over it: contours and fall lines.
#pragma once

#include "core/base/progress.h"
#include "core/terrain/terrain_model.h"

#include <cmath>
#include <vector>

namespace brae {

inline double slope_ratio(const SurfaceJet& j) { return std::sqrt(j.hx * j.hx + j.hy * j.hy); }

// Rasters of the model's cells from the spline's own derivatives. Cells without data hold NaN (never shown, written as
// no-data). slope: ratio; aspect: bearing of the downhill direction in degrees, NaN where the slope is under 1e-6;
// curvature: profile curvature along the fall line, 1/m, positive where a ball rolling down meets a rise.
struct SlopeRasters { Raster slope, aspect_deg, profile_curvature; };
SlopeRasters slope_rasters(const TerrainModel& model);

// Horn's slope (1981), as `gdaldem slope` computes it, from the height raster; ratio; NaN on the border and at gaps. Two
// threads or more share the rows; `out` takes the layout of `height` and keeps its memory from call to call.
void horn_slope(const Raster& height, const std::vector<unsigned char>& mask, Raster& out);
Raster horn_slope(const Raster& height, const std::vector<unsigned char>& mask);

struct ContourLine { double height = 0; std::vector<Vec2> points; bool closed = false; };
// Contours of the spline inside the outline every `interval` m, points on the true surface within 1 mm.
std::vector<ContourLine> contours(const TerrainModel& model, double interval_m, Progress& progress);

// Lines of steepest descent inside the outline, evenly spaced (Jobard and Lefer 1997), each running downhill;
// they end at the outline and where the slope is under 0.1 %.
struct FallLine { std::vector<Vec2> points; };
std::vector<FallLine> fall_lines(const TerrainModel& model, double spacing_m, Progress& progress);

}  // namespace brae
