#include "core/base/error.h"
#include "core/plan/lesson_search.h"
#include "core/plan/station_build.h"
#include "core/plan/wish_search.h"

#include <algorithm>
#include <fmt/format.h>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

std::string lesson_names() {
    std::string out;
    for (const LessonKind& k : lesson_kinds()) out += (out.empty() ? "" : ", ") + k.name;
    return out;
}

Choice choose(const TerrainModel& terrain, const StationRequest& request, const LessonKind& lesson, Progress& progress) {
    if (!lesson.wishes.empty()) {
        ReadersByPace readers(terrain, request, lesson.wishes, progress);
        return choose_by_wishes(readers, terrain, request, lesson.wishes, progress);
    }
    if (request.lesson == "three-paces") {
        const SpotReader dead(terrain, request, kDeadWeightPastM, progress), usual(terrain, request, kUsualPastM, progress),
            firm(terrain, request, kFirmPastM, progress);
        return choose_three_paces(dead, usual, firm);
    }
    const SpotReader reader(terrain, request, request.past_m, progress);
    if (request.lesson == "fall-line") return choose_fall_line(reader, request);
    if (request.lesson == "ladder") return choose_ladder(reader, request);
    if (request.lesson == "both-hands") return choose_both_hands(reader, request);
    return choose_ring(reader, request);
}

}  // namespace

StationPlan plan_stations(const TerrainModel& terrain, const StationRequest& request, Progress& progress) {
    // Refuse what has no meaning.
    check_station_request(terrain, request);
    const auto& kinds = lesson_kinds();
    const auto ready = std::find_if(kinds.begin(), kinds.end(), [&](const LessonKind& k) { return k.name == request.lesson; });
    if (!request.own && ready == kinds.end())
        throw usage_error(fmt::format("there is no lesson '{}'; the lessons are {}", request.lesson, lesson_names()));
    const LessonKind& lesson = request.own ? *request.own : *ready;
    if (request.own) check_wishes(lesson.wishes);

    // Spots from the quick reads, then each solved in full; a spot whose full solution fails is named as missing.
    const Choice choice = choose(terrain, request, lesson, progress);
    progress.step(0.6, "solving the stations");
    std::vector<std::optional<PracticeStation>> built(choice.spots.size());
    std::vector<std::string> failed(choice.spots.size());
    tbb::parallel_for(std::size_t{0}, choice.spots.size(), [&](std::size_t k) {
        const ChosenSpot& spot = choice.spots[k];
        try {
            built[k] = build_station(terrain, request, spot.ball, spot.past_m, "", spot.note);
        } catch (const Error& e) {
            failed[k] = e.what();
        }
    });

    // Labels in order; what is missing in one sentence.
    StationPlan plan;
    plan.missing = choice.missing;
    std::vector<std::string> labels(built.size());
    for (std::size_t k = 0; k < built.size(); ++k) {
        if (!built[k]) {
            plan.missing += (plan.missing.empty() ? "" : "; ") + failed[k];
            continue;
        }
        built[k]->lesson = lesson.name;
        built[k]->label = labels[k] = std::string(1, static_cast<char>('A' + plan.stations.size()));
        if (const auto like = choice.spots[k].like; like && !labels[*like].empty())
            built[k]->note = fmt::format("like station {}: {}", labels[*like], built[k]->note);
        plan.stations.push_back(std::move(*built[k]));
    }
    if (lesson.name == "ring") plan.shared_aim = shared_aim(plan.stations);
    if (plan.shared_aim) {
        // Sheet and card say it at each of them.
        for (PracticeStation& s : plan.stations)
            if (std::find(plan.shared_aim->labels.begin(), plan.shared_aim->labels.end(), s.label) != plan.shared_aim->labels.end())
                s.note += fmt::format("{}{}, {:.2f} m from the hole", s.note.empty() ? "" : "; ", shared_aim_words(*plan.shared_aim), distance(plan.shared_aim->p, s.hole));
    }
    progress.step(1, "done");
    return plan;
}

}  // namespace brae
