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

namespace {

// The lesson without what cannot be told; which of its stations and putts each was.
struct KnownLesson {
    Lesson lesson;
    std::vector<int> station;    // of the stored lesson, by station here
    std::vector<int> putt;       // here, by putt of the stored lesson; -1: left out
};
KnownLesson known_part(const LessonTables& tables, const StoredLesson& lesson, const std::vector<StoredPutt>& putts) {
    KnownLesson out;
    out.lesson.green_speed_ft = lesson.green_speed_ft;
    out.lesson.green_speed_sigma_ft = lesson.green_speed_sigma_ft;
    out.station.resize(tables.good->size());
    for (std::size_t k = 0; k < lesson.stations.size(); ++k) {
        if (tables.place[k] < 0) continue;
        out.lesson.stations.push_back(lesson.stations[k].place);
        out.station[static_cast<std::size_t>(tables.place[k])] = static_cast<int>(k);
    }
    for (const StoredPutt& p : putts) {
        const int place = tables.place[static_cast<std::size_t>(p.seen.station)];
        out.putt.push_back(place < 0 ? -1 : static_cast<int>(out.lesson.putts.size()));
        if (place < 0) continue;
        out.lesson.putts.push_back(p.seen);
        out.lesson.putts.back().station = place;
    }
    return out;
}

}  // namespace

PlayerPrior prior_of(std::shared_ptr<const TerrainModel> terrain, const std::vector<EarlierLesson>& earlier, const PlayerPrior& first, Progress& progress) {
    PlayerPrior prior = first;
    for (std::size_t k = 0; k < earlier.size(); ++k) {
        Progress part(progress, double(k) / double(earlier.size()), double(k + 1) / double(earlier.size()));
        const LessonTables tables = table_stations(terrain, earlier[k].lesson, part);
        const KnownLesson known = known_part(tables, earlier[k].lesson, earlier[k].putts);
        if (known.lesson.putts.empty()) continue;
        const PlayerModel model(known.lesson, tables.good, &terrain->error, prior);
        prior = prior_after(estimate_lesson(model, {}, part), first);
    }
    return prior;
}

LessonResult work_out(const LessonTables& tables, const StoredLesson& lesson, const std::vector<StoredPutt>& putts, const PlayerPrior& prior, Progress& progress) {
    LessonResult out;
    out.putts = putts.size();
    out.chance.resize(lesson.stations.size());
    const auto [known, back, placed] = known_part(tables, lesson, putts);
    out.putt = placed;
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
