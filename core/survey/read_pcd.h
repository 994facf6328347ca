// PCD point clouds: ASCII and binary by an own reader, compressed ones through Open3D once they are checked.
#pragma once

#include "core/base/progress.h"
#include "core/survey/raw_survey.h"

namespace brae {

// ASCII, binary and compressed PCD. Points without a position (NaN, as the format writes missing returns) are left out
// with a warning. Throws Error where the header claims more points than the file holds or text stands for numbers.
RawSurvey read_pcd(const std::filesystem::path& path, Progress& progress);

}  // namespace brae
