// Compressed LAS through LASzip, an optional library.
#pragma once

#include "core/base/progress.h"
#include "core/survey/las_header.h"
#include "core/survey/raw_survey.h"

namespace brae {

// Throws Error: without LASzip the sentence that says what to do, with it what LASzip says.
RawSurvey read_laz(const std::filesystem::path& path, const LasHeader& header, Progress& progress, const std::optional<Box>& clip);

// What both readers start with: all that the header tells but its points.
RawSurvey start_las(const std::filesystem::path& path, const LasHeader& header);
// What both readers end with: dates, and a word about coarse steps. `gps_time` is that of a point in the middle.
void finish_las(RawSurvey& raw, const LasHeader& header, double gps_time);

}  // namespace brae
