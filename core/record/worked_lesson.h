// A lesson of a lesson file worked out on its green: the truth of each station, what the putts tell, and the lessons before.
#pragma once

#include "core/record/lesson_file.h"
#include "core/teach/next_station.h"
#include "core/teach/over_time.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// One lesson's figures, as they stood after it.
struct LessonFigures {
    std::string id, date;
    double green_speed_ft = 10;
    int putts = 0, holed = 0;
    double expected = 0;                  // putts holed by a player of these figures
    bool read_apart = false;              // else read_low and read_share are the prior's
    Told90 read_low, read_share, start_line, pace;   // rad, share, rad, ln
    Told90 start_spread, pace_spread;     // of one putt: aim and stroke together, rad; ln
    SideShares sides;
    bool settled = false;
};

// What the ground asks for at a station: where to aim, and how well that is known (green speed and survey).
struct StationTruth {
    double offset_m = 0, se_m = 0;        // aim at the hole, positive right; 1 sigma
    double distance_m = 0;
    std::vector<Vec2> path;               // of the ball that holes out along it
};

struct WorkedLesson {
    StoredLesson lesson;
    StoredPlayer player;
    std::vector<StoredPutt> putts;
    std::vector<StationTruth> truth;      // by station of the lesson
    LessonEstimate estimate;
    std::vector<NextPutt> next;
    std::optional<RetestTold> retest;
    std::vector<LessonFigures> history;   // oldest first, this one last; this one alone unless asked for
};

// With the player's baseline in the prior. Stations are tabled anew on the green's surface. history: the player's earlier
// lessons on this green are worked out first, each the prior of the next. Throws Error for a station whose putt has no read.
WorkedLesson work_out_lesson(LessonFile& file, const StoredLesson& lesson, const Green& green, bool history, Progress& progress);

}  // namespace brae
