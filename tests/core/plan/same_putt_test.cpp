#include "core/plan/same_putt.h"

#include "core/base/units.h"
#include "core/roll/rolling.h"
#include "core/solve/holing_region.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;

TEST_CASE("a putt followed to another green speed is the one that the solver finds there") {
    struct Ground { const char* name; TerrainModel green; Vec2 hole; };
    const std::vector<Ground> grounds = {{"gentle", gentle_green(), {14, 12}}, {"tiered", tiered_green(), {13, 8}}, {"crowned", crowned_green(), {13.5, 15.5}}};
    PuttOptions options;
    options.window = options.path = false;
    options.green_speed_sigma_ft = 0;
    int asked = 0;
    for (const Ground& g : grounds)
        for (const double metres : {1.2, 2.8, 4.5})
            for (int k = 0; k < 8; ++k) {
                const PuttQuestion q{g.hole + metres * direction_of_bearing(45.0 * k + 7), g.hole, 10, kUsualPastM};
                if (!g.green.outline.contains(q.ball)) continue;
                const PuttAnswer today = solve_putt(*g.green.surface, g.green.outline, q, options);
                if (today.solutions.size() != 1 || !today.solutions[0].aim_offset_m) continue;
                for (const double speed : {8.5, 9.0, 9.5, 10.0, 10.5, 11.0}) {
                    PuttQuestion other = q;
                    other.green_speed_ft = speed;
                    const PuttAnswer fresh = solve_putt(*g.green.surface, g.green.outline, other, options);
                    if (fresh.solutions.size() != 1) continue;
                    const auto same = putt_at_speed(g.green, other, launch_of(today.solutions[0]), 10);
                    CAPTURE(std::string(g.name));
                    CAPTURE(metres);
                    CAPTURE(speed);
                    REQUIRE(same.has_value() == fresh.solutions[0].aim_offset_m.has_value());
                    if (!same) continue;
                    CHECK(std::abs(same->aim_offset_m - *fresh.solutions[0].aim_offset_m) < 1e-5);
                    CHECK(std::abs(same->launch.speed - fresh.solutions[0].launch_mps) < 1e-5);
                    ++asked;
                }
            }
    MESSAGE(asked << " putts followed");
    CHECK(asked > 200);
}

TEST_CASE("a launch that is nothing leads to the solver's own answer, and no putt stays none") {
    const TerrainModel green = gentle_green();
    const PuttQuestion q{{12, 9}, {14, 12}, 10, kUsualPastM};
    PuttOptions options;
    options.window = options.path = false;
    const PuttAnswer fresh = solve_putt(*green.surface, green.outline, q, options);
    const auto from_nothing = putt_at_speed(green, q, {0, 0}, 9);
    REQUIRE(from_nothing);
    CHECK(from_nothing->aim_offset_m == *fresh.solutions[0].aim_offset_m);
    // Straight down 8.5 % at a fast green nothing holds the ball back.
    const TerrainModel steep = green_of(tilted(0.085, {0, -1}), ellipse({14, 12}, 12, 12));
    CHECK_FALSE(putt_at_speed(steep, {{14, 15}, {14, 12}, 14, kUsualPastM}, {-kPi / 2, 0.5}, 13.5));
}
