// Elevation rasters through GDAL: GeoTIFF and ESRI ASCII only.
#pragma once

#include "core/base/progress.h"
#include "core/survey/raw_survey.h"

namespace brae {

// Cell centres of the first band, cells without data left out. Only the drivers GTiff and AAIGrid are asked, so no file
// can reach out to others or the network. Throws Error for pictures, rasters without a position, and nothing but no-data.
RawSurvey read_raster(const std::filesystem::path& path, Progress& progress);

}  // namespace brae
