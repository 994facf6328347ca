// Rasters of a green as GeoTIFF, in the green's own frame so that cells stay square and aligned.
#pragma once

#include "core/survey/frame.h"
#include "core/terrain/elevation_model.h"

#include <filesystem>
#include <string>
#include <vector>

namespace brae {

// Float32, deflated, no-data -9999 where the value is not finite, `description` as the band's name. The file's system is
// that of the green file: the survey's own, or local metres as a projected system; none where the survey had none.
// Writes a part beside FILE and renames. Throws Error for an empty raster and where the disk says no.
void write_raster_file(const Raster& raster, const Frame& frame, const std::string& description,
                       const std::filesystem::path& file);

// Several rasters of one layout as the bands of one file, in this order. Throws Error also where layouts differ.
struct RasterBand { const Raster* raster = nullptr; std::string description; };
void write_raster_bands(const std::vector<RasterBand>& bands, const Frame& frame, const std::filesystem::path& file);

// ESRI ASCII grid: text, heights to 0.1 mm, no-data -9999, north row first. The format has no place for a coordinate
// system; corners are as in the GeoTIFF. Writes a part beside FILE and renames.
void write_ascii_grid(const Raster& raster, const Frame& frame, const std::filesystem::path& file);

}  // namespace brae
