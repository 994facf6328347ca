// A lesson worked out for people and for scripts.
#pragma once

#include "core/record/lesson_file.h"
#include "core/teach/next_station.h"
#include "core/teach/over_time.h"

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

namespace brae::app {

// One lesson's figures, as they stood after it.
struct LessonFigures {
    std::string id, date;
    int putts = 0;
    bool read_apart = false;
    Told90 read_low, read_share, start_line, pace;
};

struct LessonReport {
    StoredLesson lesson;
    std::string player;
    std::vector<StoredPutt> putts;
    LessonEstimate estimate;
    std::vector<NextPutt> next;
    std::optional<RetestTold> retest;
    std::vector<LessonFigures> history;   // oldest first, this one last; where asked for
};

// With the player's baseline in the prior. Stations are tabled anew on the green's surface. history: the player's earlier
// lessons on this green are worked out first, each the prior of the next.
LessonReport work_out(LessonFile& file, const StoredLesson& lesson, const Green& green, bool history, Progress& progress);

nlohmann::ordered_json json_of(const LessonReport& report);
std::string words_of(const LessonReport& report);

}  // namespace brae::app
