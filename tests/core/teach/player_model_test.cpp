#include "core/teach/player_model.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "core/base/units.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

struct Scene {
    Formula ground = wavy(4);
    Outline green = wide_green();
    ErrorModel error{0.0005, 0.5, 0.002, 3.0};
    Lesson lesson;
    std::shared_ptr<std::vector<StationResponse>> stations = std::make_shared<std::vector<StationResponse>>();
    Scene() {
        for (const Vec2 ball : {Vec2{2.4, -1.7}, Vec2{-1.9, 2.0}}) {
            lesson.stations.push_back({std::string(1, static_cast<char>('A' + stations->size())), ball, {0, 0}, std::nullopt, 0.3});
            stations->emplace_back(ground, green, lesson.stations.back(), 10, &error);
        }
    }
    SeenPutt putt(int station, PuttOutcome outcome, std::optional<PuttPhase> phase) const {
        SeenPutt p;
        p.station = station;
        p.outcome = outcome;
        p.phase = phase;
        return p;
    }
};

}  // namespace

TEST_CASE("the gradient of the whole density is that of its differences, over all kinds of putts") {
    Scene scene;
    auto& putts = scene.lesson.putts;
    for (int n = 0; n < 2; ++n) {
        const HoleLine& line = (*scene.stations)[static_cast<std::size_t>(n)].line();
        putts.push_back(scene.putt(n, PuttOutcome::holed, PuttPhase::marker));
        putts.push_back(scene.putt(n, PuttOutcome::missed, PuttPhase::own_read));
        putts.back().own_read_m = 0.1;
        putts.back().stop = StopPlace{line.hole + 0.5 * line.along + 0.2 * line.right};
        putts.push_back(scene.putt(n, PuttOutcome::short_of, PuttPhase::own_read));
        putts.push_back(scene.putt(n, PuttOutcome::passed_right, PuttPhase::marker));
        putts.back().gate = GateSide::right;
        putts.back().aim = SeenAim::left;
        putts.push_back(scene.putt(n, PuttOutcome::missed, PuttPhase::marker));
        putts.back().stop = StopPlace{line.hole + 0.9 * line.along - 0.1 * line.right};
        putts.back().strike = StrikePlace::toe;
    }
    const PlayerModel model(scene.lesson, scene.stations, &scene.error);
    REQUIRE(model.size() == 19);
    Random random(3);
    for (int round = 0; round < 4; ++round) {
        std::vector<double> u(model.size()), g(model.size()), ignored(model.size());
        for (double& x : u) x = 0.7 * random.normal();
        model.log_density(u, g);
        for (std::size_t k = 0; k < u.size(); ++k) {
            const double at = u[k], step = 1e-5;
            u[k] = at + step;
            const double up = model.log_density(u, ignored);
            u[k] = at - step;
            const double down = model.log_density(u, ignored);
            u[k] = at;
            CHECK_MESSAGE(g[k] == doctest::Approx((up - down) / (2 * step)).epsilon(1e-4).scale(0.1 + std::abs(g[k])), "round " << round << " by " << k);
        }
    }
}

TEST_CASE("whose line a putt was on follows the phase first, then what was seen and told") {
    SeenPutt p;
    CHECK(line_of(p) == LineKnown::own_unknown);
    p.own_read_m = 0.2;
    CHECK(line_of(p) == LineKnown::own_told);
    p.marker_seen = true;
    CHECK(line_of(p) == LineKnown::marker);
    p.phase = PuttPhase::retest;
    CHECK(line_of(p) == LineKnown::own_told);
    p.phase = PuttPhase::mark;
    CHECK(line_of(p) == LineKnown::marker);
}

TEST_CASE("a mis-strike says nothing of pace, however soft it came") {
    Scene scene;
    const HoleLine& line = (*scene.stations)[0].line();
    scene.lesson.putts.push_back(scene.putt(0, PuttOutcome::short_of, PuttPhase::marker));
    scene.lesson.putts.back().stop = StopPlace{line.hole - 1.2 * line.along};
    std::vector<double> u(19, 0), g(19);
    PlayerModel(scene.lesson, scene.stations, nullptr).log_density(u, g);
    CHECK(g[kPaceBias] < -0.5);
    scene.lesson.putts.back().strike = StrikePlace::heel;
    PlayerModel(scene.lesson, scene.stations, nullptr).log_density(u, g);
    CHECK(g[kPaceBias] == 0);
    CHECK(g[kPaceSpread] == 0);
    CHECK(g[kStrokeBias] != 0);
}

TEST_CASE("without a told read the start line and the read push the same way; at the marker the read is not touched") {
    Scene scene;
    const HoleLine& line = (*scene.stations)[0].line();
    SeenPutt p = scene.putt(0, PuttOutcome::missed, PuttPhase::own_read);
    p.stop = StopPlace{line.hole + 0.3 * line.along + 0.4 * line.right};
    scene.lesson.putts = {p};
    std::vector<double> u(19, 0), g(19);
    const PlayerPrior prior;
    PlayerModel(scene.lesson, scene.stations, nullptr).log_density(u, g);
    CHECK(g[kReadConstant] / prior.figure[kReadConstant].sd == doctest::Approx(g[kStrokeBias] / prior.figure[kStrokeBias].sd));
    CHECK(g[kStrokeBias] > 0);
    scene.lesson.putts[0].phase = PuttPhase::marker;
    PlayerModel(scene.lesson, scene.stations, nullptr).log_density(u, g);
    CHECK(g[kReadConstant] == 0);
    CHECK(g[kReadShare] == 0);
    CHECK(g[kStrokeBias] > 0);
}

TEST_CASE("a putt of a station that is not there is refused") {
    Scene scene;
    scene.lesson.putts.push_back(scene.putt(2, PuttOutcome::holed, std::nullopt));
    CHECK_THROWS_WITH_AS(PlayerModel(scene.lesson, scene.stations, nullptr), doctest::Contains("number 3 of 2"), Error);
}
