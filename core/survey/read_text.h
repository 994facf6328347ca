// Points as text: XYZ, PTS, and the CSV or TXT files of survey controllers.
#pragma once

#include "core/base/progress.h"
#include "core/survey/raw_survey.h"

namespace brae {

// Any of comma, semicolon, tab or blanks, decimal point or comma, with or without a header. Files with point names or
// codes become levels, others and those of more than 64 MB a cloud, read on all cores. Throws Error with the line number for text where a number belongs, NaN and
// infinity, and rows with another number of columns than the first.
RawSurvey read_text(const std::filesystem::path& path, Progress& progress, const std::optional<Box>& clip = {});

}  // namespace brae
