// The edge of a green from a vector file.
#pragma once

#include "core/survey/survey.h"

#include <filesystem>

namespace brae {

// Takes the largest polygon (or closed line) of a GeoJSON, GeoPackage or Shapefile; no other driver is asked. The file's
// own system is converted to the survey's; where the survey has none, local metres or the survey's own coordinates are
// accepted with a warning. Throws Error for a file without a ring and for one that lies away from the data.
// `data` is the box of the survey's points in local metres.
Outline read_outline(const std::filesystem::path& path, const Frame& frame, const Box& data, std::vector<std::string>& warnings);

}  // namespace brae
