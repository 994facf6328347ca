#include "core/teach/station_chance.h"

#include "core/teach/learned_spread.h"

#include "core/base/random.h"
#include "core/base/units.h"
#include "core/roll/capture.h"
#include "core/teach/baseline.h"
#include "tests/support/greens.h"
#include "tests/support/simulated_lesson.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

TEST_CASE("a player without bias holes at the marker as often as so many rolled balls drop") {
    const TerrainModel green = green_of(tilted(0.015, {0, 1}), ellipse({0, 0}, 9, 9));
    Lesson lesson;
    lesson.stations = {{"A", {-2.4, 0}, {0, 0}, std::nullopt, 0.3}, {"B", {-4.5, 1}, {0, 0}, std::nullopt, 0.3}};
    auto stations = std::make_shared<std::vector<StationResponse>>();
    for (const LessonStation& s : lesson.stations) stations->emplace_back(*green.surface, green.outline, s, 10, nullptr);
    // A prior that is all but certain: no biases, 0.5 and 0.75 degrees, 6 % and 3 %.
    PlayerPrior prior;
    for (int k = 0; k < kPlayerFigures; ++k) prior.figure[k].sd = 1e-4;
    lesson.green_speed_sigma_ft = 1e-4;
    const PlayerModel model(lesson, stations, nullptr, prior);
    EstimateOptions options;
    options.sampler.draws = 50;
    Progress progress;
    const LessonEstimate e = estimate_lesson(model, options, progress);
    const std::vector<StationChance> chance = station_chances(model, e);
    REQUIRE(chance.size() == 2);

    // 2,000 balls each, rolled one by one with the rim's mechanics.
    Random random(7);
    for (std::size_t s = 0; s < 2; ++s) {
        const StationResponse& r = (*stations)[s];
        const double base = std::atan2(r.line().along.y, r.line().along.x) - r.true_aim();
        int holed = 0;
        const int n = 2000;
        for (int k = 0; k < n; ++k) {
            const double turn = std::hypot(radians(0.5), radians(0.75)) * random.normal(), push = std::hypot(0.06, 0.03) * random.normal();
            RollOptions rolling;
            rolling.hole = r.station().hole;
            const double a = base - turn;
            holed += roll(*green.surface, green.outline, r.station().ball, {std::cos(a), std::sin(a)}, r.launch_mps() * std::exp(push), 10, rolling).end == RollEnd::holed;
        }
        const double seen = double(holed) / n;
        CHECK(chance[s].marker == doctest::Approx(seen).epsilon(0.05).scale(1));
        CHECK(chance[s].own_read < chance[s].marker);
    }
    CHECK(chance[1].marker < chance[0].marker);
}

TEST_CASE("a baseline moves the player that planners take") {
    const PlayerSpread before = spread_of(PlayerPrior{});
    before.check();
    CHECK(degrees(before.start_line.rad) == doctest::Approx(std::hypot(0.4993, 0.7486)).epsilon(0.01));
    std::vector<BaselinePutt> putts;
    for (int k = 0; k < 10; ++k) {
        BaselinePutt p;
        p.aim_deg = 1.0 + 0.1 * (k % 2);
        p.start_deg = 1.5 + 0.1 * (k % 3);
        putts.push_back(p);
    }
    const PlayerSpread after = spread_of(prior_with_baseline({}, putts));
    after.check();
    CHECK(after.start_line.rad < before.start_line.rad);
    CHECK(degrees(after.start_line_bias_rad) > 0.8);
}
