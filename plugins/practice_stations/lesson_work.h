// The work behind a lesson that takes longer than a frame: rolling the tables of its stations, and the estimate after each
// putt. Pure functions of values, for a thread beside the window.
#pragma once

#include "core/base/progress.h"
#include "core/record/lesson_file.h"
#include "core/teach/next_station.h"
#include "core/teach/over_time.h"
#include "core/teach/learned_spread.h"
#include "core/teach/station_chance.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::practice_stations {

// The stations that can be tabled; one that has no putt to aim at is left out, with a sentence, and so are its putts.
struct LessonTables {
    std::shared_ptr<const TerrainModel> terrain;
    std::shared_ptr<const std::vector<StationResponse>> good;
    std::vector<int> place;                  // of each station of the lesson in `good`, -1 where it has none
    std::vector<std::string> refused;
    const StationResponse* of(int station) const {
        const auto k = static_cast<std::size_t>(station);
        return k < place.size() && place[k] >= 0 ? &(*good)[static_cast<std::size_t>(place[k])] : nullptr;
    }
};
LessonTables table_stations(std::shared_ptr<const TerrainModel> terrain, const StoredLesson& lesson, Progress& progress);

struct LessonResult {
    LessonEstimate estimate;
    std::vector<int> putt;                   // of each putt of the lesson in the estimate, -1 where its station is left out
    std::vector<NextPutt> next;              // with stations of the lesson
    std::vector<std::optional<StationChance>> chance;   // by station of the lesson
    std::optional<RetestTold> retest;
    std::size_t putts = 0;                   // that it was made from
};
// A lesson of the same player on the same ground, with the putts that count.
struct EarlierLesson { StoredLesson lesson; std::vector<StoredPutt> putts; };
// The prior that they leave behind, oldest first: each one's figures are the next one's prior, as in core/record/worked_lesson.h.
// A station that cannot be tabled is left out with its putts.
PlayerPrior prior_of(std::shared_ptr<const TerrainModel> terrain, const std::vector<EarlierLesson>& earlier, const PlayerPrior& first, Progress& progress);

// All of it but `tables` by value. Without putts: what the baseline, or the prior, has for this player.
LessonResult work_out(const LessonTables& tables, const StoredLesson& lesson, const std::vector<StoredPutt>& putts, const PlayerPrior& prior, Progress& progress);

}  // namespace brae::practice_stations
