// Vertices of a PLY file in full precision: ASCII and binary, either byte order, float or double.
#pragma once

#include "core/base/progress.h"
#include "core/survey/raw_survey.h"

namespace brae {

// Reads x, y, z of the element "vertex", whatever other properties and elements there are. Throws Error for a header
// that cannot be followed, claims more vertices than the file can hold, or a vertex that is no finite point.
// Format: G. Turk, "The PLY Polygon File Format", 1994.
RawSurvey read_ply(const std::filesystem::path& path, Progress& progress);

}  // namespace brae
