// The points of the import's benchmark: a green of 45 x 30 m in no order, written as text and as LAS 1.4.
#pragma once

#include <cstdint>
#include <filesystem>

namespace brae::bench {

// Heights to the millimetre with 8 mm of noise, one point in 500 of them clutter that stands on the turf; eastings and northings
// of seven digits before the point, as a surveyor's system has. The same points in both, the same for the same count.
// Throws std::runtime_error where a file cannot be written.
void write_import_points(std::uint64_t count, const std::filesystem::path& text, const std::filesystem::path& las);

// Where they lie: west, south, east, north.
inline constexpr double kImportWest = 1'512'030, kImportSouth = 4'182'310, kImportEast = kImportWest + 45, kImportNorth = kImportSouth + 30;

}  // namespace brae::bench
