#include "core/teach/side_doubt.h"

#include "core/roll/rolling.h"
#include "core/solve/hole_line.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

// A putt across the slope of 2.5 %, 3 m, that is aimed to the right: right is high.
struct Scene {
    TerrainModel green = green_of(tilted(0.025, {0, 1}), ellipse({0, 0}, 9, 9));
    StationResponse station{*green.surface, green.outline, {"A", {-3, 0}, {0, 0}, std::nullopt, 0.3}, 10, nullptr};

    // One ball rolled with the hole covered, by equations that the table was not asked for: where it rests, and where it passes.
    struct Rolled { Vec2 stop; std::optional<double> crossing_m; };
    Rolled roll_off(double turn, double push) const {
        const double bearing = std::atan2(station.line().along.y, station.line().along.x) - station.true_aim() - turn;
        const Vec2 dir{std::cos(bearing), std::sin(bearing)};
        const RollPath path = roll(*green.surface, green.outline, station.station().ball, dir, station.launch_mps() * std::exp(push), 10);
        Rolled out{path.stop(), std::nullopt};
        const HoleLine line(station.station().ball, station.station().hole);
        for (std::size_t k = 1; k < path.samples.size(); ++k) {
            const Vec2 a = Vec2{path.samples[k - 1].p.x, path.samples[k - 1].p.y}, b = Vec2{path.samples[k].p.x, path.samples[k].p.y};
            if (line.beyond(a) < 0 && line.beyond(b) >= 0 && !out.crossing_m) {
                const double f = -line.beyond(a) / (line.beyond(b) - line.beyond(a));
                out.crossing_m = line.offset(a + f * (b - a));
            }
        }
        return out;
    }
    SeenPutt seen(PuttOutcome outcome, Vec2 stop) const {
        SeenPutt p;
        p.outcome = outcome;
        p.stop = StopPlace{stop, StopSource::tape, {}};
        return p;
    }
};

const Scene& scene() {
    static const Scene s;
    return s;
}

}  // namespace

TEST_CASE("a putt that passes high and stops low is believed, since a ball goes on turning behind the hole") {
    const Scene& s = scene();
    REQUIRE(s.station.high_is_right());
    // Passes well on the high side, and rests on the low side of the ball-hole line.
    const Scene::Rolled r = s.roll_off(0.03, 0.35);
    REQUIRE(r.crossing_m);
    REQUIRE(*r.crossing_m > 0.08);
    REQUIRE(s.station.line().offset(r.stop) < -0.05);
    CHECK_FALSE(side_doubt(s.station, s.seen(PuttOutcome::passed_high, r.stop)));
    const auto doubt = side_doubt(s.station, s.seen(PuttOutcome::passed_low, r.stop));
    REQUIRE(doubt);
    CHECK(doubt->likelier == PuttOutcome::passed_high);
    CHECK(doubt->crossing_m == doctest::Approx(*r.crossing_m).epsilon(0.15));
    CHECK(to_text(*doubt, s.station).find("on the high side: which is it?") != std::string::npos);
}

TEST_CASE("a putt noted on one side that can only have gone by on the other is questioned, with how far") {
    const Scene& s = scene();
    const Scene::Rolled low = s.roll_off(-0.11, 0.2);
    REQUIRE(low.crossing_m);
    REQUIRE(*low.crossing_m < -0.1);
    CHECK_FALSE(side_doubt(s.station, s.seen(PuttOutcome::passed_low, low.stop)));
    const auto doubt = side_doubt(s.station, s.seen(PuttOutcome::passed_high, low.stop));
    REQUIRE(doubt);
    CHECK(doubt->noted == PuttOutcome::passed_high);
    CHECK(doubt->likelier == PuttOutcome::passed_low);
    CHECK(doubt->crossing_m == doctest::Approx(*low.crossing_m).epsilon(0.15));
    const std::string text = to_text(*doubt, s.station);
    CHECK(text.find("noted as passed high") == 0);
    CHECK(text.find("cm on the low side: which is it?") != std::string::npos);
    CHECK(to_text(*doubt, s.station, true).find(" in on the low side") != std::string::npos);
    // The same by the player's hands: this low side is the left one.
    CHECK(side_doubt(s.station, s.seen(PuttOutcome::passed_right, low.stop))->likelier == PuttOutcome::passed_left);
    CHECK_FALSE(side_doubt(s.station, s.seen(PuttOutcome::passed_left, low.stop)));
}

TEST_CASE("short of the hole and past it are held against the place as well") {
    const Scene& s = scene();
    const Scene::Rolled shy = s.roll_off(0.0, -0.25), long_one = s.roll_off(0.05, 0.2);
    REQUIRE_FALSE(shy.crossing_m);
    CHECK_FALSE(side_doubt(s.station, s.seen(PuttOutcome::short_of, shy.stop)));
    const auto passed = side_doubt(s.station, s.seen(PuttOutcome::passed_low, shy.stop));
    REQUIRE(passed);
    CHECK(passed->likelier == PuttOutcome::short_of);
    CHECK(to_text(*passed, s.station).find("stopped short of the hole") != std::string::npos);
    const auto called_short = side_doubt(s.station, s.seen(PuttOutcome::short_of, long_one.stop));
    REQUIRE(called_short);
    CHECK(called_short->likelier == PuttOutcome::passed_high);
}

TEST_CASE("without a place, without a side, or on a straight putt nothing is questioned") {
    const Scene& s = scene();
    SeenPutt p;
    p.outcome = PuttOutcome::passed_high;
    CHECK_FALSE(side_doubt(s.station, p));
    for (const PuttOutcome o : {PuttOutcome::holed, PuttOutcome::lip_out, PuttOutcome::off_green, PuttOutcome::missed})
        CHECK_FALSE(side_doubt(s.station, s.seen(o, {0.3, -0.4})));
    const TerrainModel level = green_of(tilted(0, {0, 1}), ellipse({0, 0}, 9, 9));
    const StationResponse straight(*level.surface, level.outline, {"B", {-3, 0}, {0, 0}, std::nullopt, 0.3}, 10, nullptr);
    CHECK_FALSE(side_doubt(straight, s.seen(PuttOutcome::passed_high, {0.4, -0.3})));
    const auto left = side_doubt(straight, s.seen(PuttOutcome::passed_left, {0.4, -0.3}));
    REQUIRE(left);
    CHECK(left->likelier == PuttOutcome::passed_right);
}
