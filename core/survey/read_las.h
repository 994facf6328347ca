// LAS 1.0 to 1.4, and LAZ where LASzip is there.
#pragma once

#include "core/base/progress.h"
#include "core/survey/raw_survey.h"

namespace brae {

// Every point inside `clip` (coordinates of the file) with its class, flags and strip; above kMostPoints they are thinned. Throws Error with one sentence for a damaged file, see
// read_las_header, and for LAZ where the program was built without LASzip.
RawSurvey read_las(const std::filesystem::path& path, Progress& progress, const std::optional<Box>& clip = {});

// Whether LAZ can be read.
bool reads_laz();

}  // namespace brae
