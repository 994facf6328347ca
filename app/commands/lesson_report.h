// A lesson worked out for people and for scripts.
#pragma once

#include "core/record/lesson_file.h"
#include "core/teach/next_station.h"
#include "core/teach/over_time.h"

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

namespace brae::app {

struct LessonReport {
    StoredLesson lesson;
    std::string player;
    std::vector<StoredPutt> putts;
    LessonEstimate estimate;
    std::vector<NextPutt> next;
    std::optional<RetestTold> retest;
};

// With the player's baseline in the prior. Stations are tabled anew on the green's surface.
LessonReport work_out(LessonFile& file, const StoredLesson& lesson, const Green& green, Progress& progress);

nlohmann::ordered_json json_of(const LessonReport& report);
std::string words_of(const LessonReport& report);

}  // namespace brae::app
