#include "core/plan/quick_chance.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/solve/hole_chance.h"
#include "core/solve/level_chance.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;

TEST_CASE("the quick chance is the whole region's within two hundredths, on the whole within half of one") {
    struct Ground { const char* name; TerrainModel green; Vec2 hole; };
    const std::vector<Ground> grounds = {{"gentle", gentle_green(), {14, 12}}, {"tiered", tiered_green(), {13, 8}}, {"crowned", crowned_green(), {13.5, 15.5}}};
    double worst = 0, sum = 0;
    int asked = 0;
    for (const Ground& g : grounds)
        for (const double metres : {1.0, 1.7, 2.6, 4.0})
            for (int k = 0; k < 5; ++k) {
                const PuttQuestion q{g.hole + metres * direction_of_bearing(72.0 * k + 10 * metres), g.hole, 10, kUsualPastM};
                PuttOptions options;
                options.window = options.path = false;
                const PuttAnswer answer = solve_putt(*g.green.surface, g.green.outline, q, options);
                if (answer.solutions.empty()) continue;
                const PuttGround ground = putt_ground(*g.green.surface, g.green.outline, q);
                const Launch meant = launch_of(answer.solutions.front());
                PlayerSpread biased = assumed_player();
                biased.start_line_bias_rad = radians(0.5), biased.launch_bias_rel = -0.02;
                for (const PlayerSpread& player : {assumed_player(), biased}) {
                    CAPTURE(std::string(g.name));
                    CAPTURE(metres);
                    const double whole = chance_to_hole(holing_region(ground, meant), player, meant).chance, quick = quick_chance(ground, meant, player.errors());
                    CHECK(std::abs(quick - whole) < 0.02);
                    sum += std::abs(quick - whole);
                    worst = std::max(worst, std::abs(quick - whole));
                    ++asked;
                }
            }
    MESSAGE("worst of " << asked << ": " << worst << ", on the whole " << sum / asked);
    CHECK(sum / asked < 0.005);
    CHECK(asked > 80);
}

TEST_CASE("on level ground the quick chance is the closed form's") {
    const TerrainModel level = green_of(tilted(0.0, {1, 0}), ellipse({14, 12}, 12, 12));
    for (const double metres : {1.0, 2.0, 3.5}) {
        const PuttQuestion q{{14, 12 - metres}, {14, 12}, 10, kUsualPastM};
        PuttOptions options;
        options.window = options.path = false;
        const PuttAnswer answer = solve_putt(*level.surface, level.outline, q, options);
        REQUIRE_FALSE(answer.solutions.empty());
        const double quick = quick_chance(putt_ground(*level.surface, level.outline, q), launch_of(answer.solutions.front()), assumed_player().errors());
        CHECK(quick == doctest::Approx(LevelPutt(metres, 10, kUsualPastM).chance(assumed_player())).epsilon(0.015));
    }
}

TEST_CASE("a launch that does not hole has no chance, and figures of another model are refused") {
    const TerrainModel level = green_of(tilted(0.0, {1, 0}), ellipse({14, 12}, 12, 12));
    const PuttQuestion q{{14, 10}, {14, 12}, 10, kUsualPastM};
    const PuttGround ground = putt_ground(*level.surface, level.outline, q);
    CHECK(quick_chance(ground, {kPi / 2, 9}, assumed_player().errors()) == 0);
    LaunchErrors other = assumed_player().errors();
    other.capture = other.capture == CaptureModel::rim ? CaptureModel::free_fall : CaptureModel::rim;
    CHECK_THROWS_AS(quick_chance(ground, {kPi / 2, 2}, other), Error);
}
