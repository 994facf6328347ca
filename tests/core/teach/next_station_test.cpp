#include "core/teach/next_station.h"

#include "core/base/units.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

// A tilted green: one putt straight up the fall line, one across it, one long across it.
struct Scene {
    TerrainModel green = green_of(tilted(0.02, {0, -1}), ellipse({0, 0}, 9, 9));
    Lesson lesson;
    std::shared_ptr<std::vector<StationResponse>> stations = std::make_shared<std::vector<StationResponse>>();
    Scene() {
        for (const Vec2 ball : {Vec2{0, -2}, Vec2{-2.5, 0}, Vec2{5, 0.5}}) {
            lesson.stations.push_back({std::string(1, static_cast<char>('A' + stations->size())), ball, {0, 0}, std::nullopt, 0.3});
            stations->emplace_back(*green.surface, green.outline, lesson.stations.back(), 10, nullptr);
        }
    }
    void add(int station, PuttPhase phase, int times) {
        const HoleLine& line = (*stations)[static_cast<std::size_t>(station)].line();
        for (int k = 0; k < times; ++k) {
            SeenPutt p;
            p.station = station;
            p.phase = phase;
            if (phase == PuttPhase::own_read) p.own_read_m = (*stations)[static_cast<std::size_t>(station)].distance_m() * std::tan((*stations)[static_cast<std::size_t>(station)].true_aim());
            p.outcome = PuttOutcome::missed;
            p.stop = StopPlace{line.hole + 0.5 * line.along + (0.15 + 0.1 * (k % 3 - 1)) * line.right};
            lesson.putts.push_back(p);
        }
    }
    std::vector<NextPutt> next(LessonEstimate* kept = nullptr) {
        const PlayerModel model(lesson, stations, nullptr);
        EstimateOptions options;
        options.sampler.draws = 250;
        options.thinned = 4;
        Progress progress;
        const LessonEstimate e = estimate_lesson(model, options, progress);
        if (kept) *kept = e;
        return next_putts(model, e);
    }
};

const NextPutt& of(const std::vector<NextPutt>& all, int station, bool own) {
    for (const NextPutt& n : all)
        if (n.station == station && n.own_read == own) return n;
    throw 0;
}

}  // namespace

TEST_CASE("every station and both ways are ranked, shares between 0 and 1, the most telling first") {
    Scene scene;
    const auto all = scene.next();
    REQUIRE(all.size() == 6);
    for (std::size_t k = 0; k < all.size(); ++k) {
        CHECK((all[k].reduction > 0 && all[k].reduction < 1));
        if (k > 0) CHECK(all[k].reduction <= all[k - 1].reduction);
        for (double by : all[k].by) CHECK((by >= 0 && by < 1));
    }
    // Before any putt the own read tells of everything, the marker of the start line and pace only.
    CHECK(all.front().own_read);
    CHECK(of(all, 1, true).by[0] > 0.2);
    CHECK(of(all, 1, false).by[0] < 0.05);
    CHECK(of(all, 1, false).by[2] > 0.2);
}

TEST_CASE("a share of the break is learned where there is break, not up the fall line") {
    Scene scene;
    scene.add(0, PuttPhase::own_read, 6);
    const auto all = scene.next();
    CHECK(of(all, 2, true).by[1] > 5 * of(all, 0, true).by[1]);
    CHECK(all.front().station != 0);
    CHECK(all.front().own_read);
}

TEST_CASE("what was expected of a putt is what it brings, within a factor of two, where the putt comes as the player was thought to be") {
    Scene scene;
    scene.add(1, PuttPhase::own_read, 3);
    LessonEstimate before, after;
    const NextPutt foretold = of(scene.next(&before), 2, true);
    scene.add(2, PuttPhase::own_read, 1);
    scene.next(&after);
    const double share = 1 - std::pow(after.figure[kReadShare].sd / before.figure[kReadShare].sd, 2);
    CHECK(share > 0.1);
    CHECK(foretold.by[1] < 2 * share);
    CHECK(foretold.by[1] > 0.5 * share);
}
