#include "plugins/practice_stations/lesson_work.h"

#include "core/base/error.h"

namespace brae::practice_stations {

LessonTables table_stations(std::shared_ptr<const TerrainModel> terrain, const StoredLesson& lesson, Progress& progress) {
    LessonTables out;
    auto good = std::make_shared<std::vector<StationResponse>>();
    for (std::size_t k = 0; k < lesson.stations.size(); ++k) {
        progress.step(double(k) / double(lesson.stations.size()), "rolling balls from each station");
        try {
            good->emplace_back(*terrain->surface, terrain->outline, lesson.stations[k].place, lesson.green_speed_ft, &terrain->error);
            out.place.push_back(static_cast<int>(good->size()) - 1);
        } catch (const Error& e) {
            out.place.push_back(-1);
            out.refused.push_back("station " + lesson.stations[k].place.label + " tells nothing: " + e.what());
        }
    }
    out.terrain = std::move(terrain);
    out.good = std::move(good);
    return out;
}

LessonResult work_out(const LessonTables& tables, const StoredLesson& lesson, const std::vector<StoredPutt>& putts, const PlayerPrior& prior, Progress& progress) {
    LessonResult out;
    out.putts = putts.size();
    out.chance.resize(lesson.stations.size());
    // The lesson without what cannot be told.
    Lesson known;
    known.green_speed_ft = lesson.green_speed_ft;
    known.green_speed_sigma_ft = lesson.green_speed_sigma_ft;
    std::vector<int> back(tables.good->size());
    for (std::size_t k = 0; k < lesson.stations.size(); ++k) {
        if (tables.place[k] < 0) continue;
        known.stations.push_back(lesson.stations[k].place);
        back[static_cast<std::size_t>(tables.place[k])] = static_cast<int>(k);
    }
    for (const StoredPutt& p : putts) {
        const int place = tables.place[static_cast<std::size_t>(p.seen.station)];
        out.putt.push_back(place < 0 ? -1 : static_cast<int>(known.putts.size()));
        if (place < 0) continue;
        known.putts.push_back(p.seen);
        known.putts.back().station = place;
    }
    if (known.stations.empty()) return out;

    const PlayerModel model(known, tables.good, &tables.terrain->error, prior);
    out.estimate = estimate_lesson(model, {}, progress);
    out.next = next_putts(model, out.estimate);
    for (NextPutt& n : out.next) n.station = back[static_cast<std::size_t>(n.station)];
    progress.step(1, "the chances to hole");
    const std::vector<StationChance> chance = station_chances(model, out.estimate);
    for (std::size_t k = 0; k < chance.size(); ++k) out.chance[static_cast<std::size_t>(back[k])] = chance[k];
    out.retest = compare_retest(model, out.estimate);
    return out;
}

}  // namespace brae::practice_stations
