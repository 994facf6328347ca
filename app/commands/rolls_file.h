// Rolled balls from a CSV whose first line names the columns.
#pragma once

#include "core/roll/speed_calibration.h"
#include "core/survey/frame.h"

#include <filesystem>
#include <vector>

namespace brae::app {

// Columns in any order; separators are commas, semicolons or tabs. map: places are in map coordinates. Throws Error that
// names file and line.
std::vector<RolledBall> read_rolls(const std::filesystem::path& file, const Frame& frame, bool map);

}  // namespace brae::app
