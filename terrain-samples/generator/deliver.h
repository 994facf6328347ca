// Each sample green in the forms in which people deliver surveys.
#pragma once

#include "terrain-samples/generator/sample_greens.h"

#include <filesystem>

namespace brae::samples {

// What a survey adds to the truth. Metres and points per square metre.
struct CloudKind {
    std::string file;
    double density, independent_m, correlated_m;
    bool clutter;
    std::uint64_t salt;
    double correlation_length = 3;
};

// tripod-scan.ply: 400 points/m2, 3.5 mm independent noise, 2 mm correlated over 3 m, a flagstick in the hole.
// lidar.ply: 30 points/m2, 25 mm independent noise, 4 mm correlated, flagstick, bag, a person.
// Both: binary PLY, x and y double, z float, map coordinates; grass outside the outline stands 3-6 cm higher.
CloudKind tripod_scan();
CloudKind lidar();
void write_cloud(const SampleGreen& green, const CloudKind& kind, const std::filesystem::path& file);

// levels.csv: Point,Easting,Northing,Elevation,Code,Description on a 2 m grid, 3 mm noise; edge, tiers, hole and marks by code.
void write_levels(const SampleGreen& green, const std::filesystem::path& file);
// dtm.tif: 0.25 m cells, Float32, 1 mm independent and 2 mm correlated noise, no-data beyond 1.5 m outside the outline.
void write_raster(const SampleGreen& green, const std::filesystem::path& file);
// outline.geojson: RFC 7946, longitude and latitude, 9 decimals.
void write_outline(const SampleGreen& green, const std::filesystem::path& file);

}  // namespace brae::samples
