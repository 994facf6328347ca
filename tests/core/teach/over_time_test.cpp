#include "core/teach/over_time.h"

#include "core/base/units.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

// Two stations across a plane: reads at A before, at B in the retest, each by a share of the true offset.
struct Scene {
    TerrainModel green = green_of(tilted(0.02, {0, -1}), ellipse({0, 0}, 9, 9));
    Lesson lesson;
    std::shared_ptr<std::vector<StationResponse>> stations = std::make_shared<std::vector<StationResponse>>();
    std::optional<PlayerModel> model;
    Scene() {
        for (const Vec2 ball : {Vec2{-2.5, 0}, Vec2{3, 0.5}}) {
            lesson.stations.push_back({std::string(1, static_cast<char>('A' + stations->size())), ball, {0, 0}, std::nullopt, 0.3});
            stations->emplace_back(*green.surface, green.outline, lesson.stations.back(), 10, nullptr);
        }
        lesson.green_speed_sigma_ft = 0.2;
    }
    void add(int station, PuttPhase phase, double share, int times) {
        const StationResponse& s = (*stations)[static_cast<std::size_t>(station)];
        for (int k = 0; k < times; ++k) {
            SeenPutt p;
            p.station = station;
            p.phase = phase;
            p.own_read_m = share * s.distance_m() * std::tan(s.true_aim());
            lesson.putts.push_back(p);
        }
    }
    LessonEstimate estimate() {
        model.emplace(lesson, stations, nullptr);
        EstimateOptions options;
        options.sampler.draws = 200;
        options.thinned = 2;
        Progress progress;
        return estimate_lesson(*model, options, progress);
    }
};

}  // namespace

TEST_CASE("a retest is compared with the first reads, and the change is no surer than other putts and stations allow") {
    Scene scene;
    scene.add(0, PuttPhase::own_read, 0.5, 6);
    const LessonEstimate first = scene.estimate();
    CHECK_FALSE(compare_retest(*scene.model, first));
    scene.add(1, PuttPhase::retest, 1.0, 6);
    const LessonEstimate e = scene.estimate();
    const auto r = compare_retest(*scene.model, e);
    REQUIRE(r);
    CHECK((r->before_putts == 6 && r->retest_putts == 6));
    // Half the break was read: low by about half the true aim.
    const double half = 0.5 * std::abs((*scene.stations)[0].true_aim());
    CHECK(r->before.mean == doctest::Approx(half).epsilon(0.25));
    CHECK(std::abs(r->retest.mean) < 0.35 * half);
    CHECK(r->change.mean < 0);
    CHECK(r->change.sd > r->before.sd);
    CHECK(r->change.sd > 0.8 * std::sqrt(2.0) * radians(0.4));
}

TEST_CASE("the next lesson starts from what the last one told, a little less sure") {
    Scene scene;
    scene.add(0, PuttPhase::own_read, 0.5, 6);
    const LessonEstimate e = scene.estimate();
    const PlayerPrior first, next = prior_after(e, first);
    CHECK(next.figure[kReadShare].mean == doctest::Approx(e.figure[kReadShare].mean));
    CHECK(next.figure[kReadShare].mean < -0.05);
    for (std::size_t k = 0; k < kPlayerFigures; ++k) CHECK(next.figure[k].sd <= first.figure[k].sd);
    CHECK(next.figure[kReadShare].sd == doctest::Approx(std::hypot(e.figure[kReadShare].sd, 0.08)));
    // Nothing was seen of the pace: as before.
    CHECK(next.figure[kPaceBias].sd == doctest::Approx(first.figure[kPaceBias].sd).epsilon(0.06));
    CHECK(std::exp(next.figure[kPaceSpread].mean) == doctest::Approx(std::exp(first.figure[kPaceSpread].mean)).epsilon(0.08));
}
