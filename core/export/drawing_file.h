// A green as a DXF drawing: contours at their heights, the outline, reference marks, holes and stations, each on a layer.
#pragma once

#include "core/base/progress.h"
#include "core/record/green.h"

#include <filesystem>

namespace brae {

// Coordinates are those of the survey's own system (eastings and northings), or local metres where that is geographic, its
// scale distorted, or where there is none; heights include the frame's origin. Layers: OUTLINE, CONTOUR, MARK, HOLE,
// STATION_BALL, STATION_MARKER, STATION_LINE. Written by GDAL's DXF driver; a part beside FILE, then renamed.
// Throws Error where the disk says no, Error(usage) for an interval under 5 mm.
void write_drawing(const Green& green, double contour_interval_m, const std::filesystem::path& file, Progress& progress);

}  // namespace brae
