#include "core/record/worked_lesson.h"

#include "core/roll/rolling.h"

#include <cmath>

namespace brae {

namespace {

StationTruth truth_of(const TerrainModel& terrain, const StationResponse& station, double variance, double green_speed_ft) {
    StationTruth out;
    out.distance_m = station.distance_m();
    out.offset_m = out.distance_m * std::tan(station.true_aim());
    // The aim's error in radians, at the hole.
    out.se_m = out.distance_m * std::sqrt(variance) / std::pow(std::cos(station.true_aim()), 2);
    RollOptions options;
    options.hole = station.station().hole;
    const Vec2 direction = std::cos(station.true_aim()) * station.line().along + std::sin(station.true_aim()) * station.line().right;
    for (const RollSample& s : roll(*terrain.surface, terrain.outline, station.station().ball, direction, station.launch_mps(), green_speed_ft, options).samples)
        out.path.push_back({s.p.x, s.p.y});
    return out;
}

LessonFigures figures_of(const StoredLesson& l, const LessonEstimate& e, const PlayerModel& model) {
    LessonFigures out;
    out.id = l.id, out.date = l.date, out.green_speed_ft = l.green_speed_ft;
    out.putts = e.putts, out.holed = e.sides.holed;
    for (const StationTold& s : e.station) out.expected += s.expected;
    out.read_apart = e.read_apart;
    out.read_low = e.read_low, out.read_share = e.figure[kReadShare], out.start_line = e.start_line, out.pace = e.figure[kPaceBias];
    out.pace_spread = e.figure[kPaceSpread];
    // Aim and stroke come apart only where the aim was seen; their sum is what a putt shows.
    std::vector<double> together;
    for (std::size_t d = 0; d < e.draws.count; ++d) {
        const PlayerModel::Player p = model.player_of(&e.draws.values[d * e.draws.dimensions]);
        together.push_back(std::hypot(p.figure[kAimSpread], p.figure[kStrokeSpread]));
    }
    out.start_spread = told_by(together);
    out.sides = e.sides, out.settled = e.settled;
    return out;
}

}  // namespace

WorkedLesson work_out_lesson(LessonFile& file, const StoredLesson& lesson, const Green& green, bool history, Progress& progress) {
    WorkedLesson out;
    out.lesson = lesson;
    out.player = file.player(lesson.player);
    const TerrainModel& terrain = *green.terrain;
    std::vector<BaselinePutt> baseline;
    for (const StoredBaselinePutt& b : file.baseline(lesson.player)) baseline.push_back(b.putt);
    const PlayerPrior first = prior_with_baseline({}, baseline);
    PlayerPrior prior = first;

    // The lessons that lead up to this one, and this one.
    std::vector<StoredLesson> all;
    if (history)
        for (const StoredLesson& l : file.lessons(lesson.player)) {
            if (l.id == lesson.id) break;
            if (l.green_id == lesson.green_id) all.push_back(l);
        }
    all.push_back(lesson);
    for (const StoredLesson& l : all) {
        const bool last = &l == &all.back();
        const std::vector<StoredPutt> putts = file.putts(l.id);
        if (putts.empty() && !last) continue;
        auto stations = std::make_shared<std::vector<StationResponse>>();
        for (const StoredLessonStation& s : l.stations) {
            progress.step(0, "rolling balls from each station");
            stations->emplace_back(*terrain.surface, terrain.outline, s.place, l.green_speed_ft, &terrain.error);
        }
        const PlayerModel model(lesson_of(l, putts), stations, &terrain.error, prior);
        LessonEstimate e = estimate_lesson(model, {}, progress);
        out.history.push_back(figures_of(l, e, model));
        prior = prior_after(e, first);
        if (!last) continue;

        // The ground's own answer beside the player's.
        const std::vector<double> covariance = aim_error_covariance(*stations, l.green_speed_sigma_ft, &terrain.error);
        for (std::size_t k = 0; k < stations->size(); ++k)
            out.truth.push_back(truth_of(terrain, (*stations)[k], covariance[k * (stations->size() + 1)], l.green_speed_ft));
        out.putts = putts;
        out.next = next_putts(model, e);
        out.retest = compare_retest(model, e);
        out.estimate = std::move(e);
    }
    return out;
}

}  // namespace brae
