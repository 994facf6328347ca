// A coach's own lesson: a small JSON file of wishes.
#pragma once

#include "core/plan/practice_stations.h"

#include <filesystem>

namespace brae {

// {"name": "...", "teaches": "...", "wants": "...", "stations": [{...}, ...]}, docs/file-formats.md. Of a station:
// note, count, distance_m, break_cm, side, slope_pct, over_tier, chance_pct, past_m, like (the number of an earlier station);
// ranges are [low, high]. Throws Error with the file, the station's number and the key: no JSON, an unknown or missing key, text
// where a number belongs, and whatever check_wishes refuses.
LessonKind read_lesson_kind(const std::filesystem::path& file);

}  // namespace brae
