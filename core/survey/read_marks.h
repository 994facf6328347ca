// Reference marks from a list of points, for a green that is there already.
#pragma once

#include "core/base/progress.h"
#include "core/survey/survey.h"

#include <filesystem>
#include <vector>

namespace brae {

// CSV or TXT as the survey readers take them (any separator, header or none), in the frame's system and units, heights in
// metres of its datum. Of a file with codes the rows that mean a mark (HEAD, DRAIN, NAIL, ... as in a survey); of one
// where none does, every row that has a name. Names are made unique. Throws Error with one sentence: what the text reader
// refuses, no row that is a mark, and a row farther than 500 m from the frame's origin, which is another green or system.
std::vector<ReferenceMark> read_marks(const std::filesystem::path& file, const Frame& frame, Progress& progress);

}  // namespace brae
