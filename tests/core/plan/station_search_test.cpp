#include "core/plan/practice_stations.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/plan/zones.h"
#include "core/roll/green_speed.h"
#include "core/roll/rolling.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <algorithm>
#include <cmath>
#include <cstring>

using namespace brae;
using namespace brae::test;

namespace {

StationPlan plan(const TerrainModel& green, Vec2 hole, const std::string& lesson, double speed = 10,
                 const std::vector<std::vector<Vec2>>& zones = {}) {
    StationRequest r;
    r.hole = hole;
    r.green_speed_ft = speed;
    r.lesson = lesson;
    r.known = {{"S1", {2, 3}}, {"S2", {25, 4}}, {"S3", {12, 24}}};
    r.closed_zones = zones;
    Progress progress;
    return plan_stations(green, r, progress);
}

// The ball rolled at the marker at the stated speed: over the covered hole, and into the open one.
void check_rolls(const TerrainModel& green, const PracticeStation& s) {
    RollOptions covered;
    covered.hole = s.hole;
    covered.covered = true;
    const RollPath over = roll(*green.surface, green.outline, s.ball, s.marker - s.ball, s.launch_mps, s.green_speed_ft, covered);
    REQUIRE(over.pass);
    CHECK(std::abs(over.pass->offset_m) < 0.002);
    CHECK(std::abs(over.pass->speed_mps - speed_at_hole(s.past_m, s.green_speed_ft)) < 0.003);
    RollOptions open;
    open.hole = s.hole;
    CHECK(roll(*green.surface, green.outline, s.ball, s.marker - s.ball, s.launch_mps, s.green_speed_ft, open).end == RollEnd::holed);
}

struct Ground { const char* name; TerrainModel green; Vec2 hole; };
std::vector<Ground> grounds() {
    return {{"gentle", gentle_green(), {14, 12}}, {"tiered", tiered_green(), {13, 8}}, {"crowned", crowned_green(), {13.5, 15.5}}};
}

}  // namespace

TEST_CASE("there are ten lessons, each with what it teaches and wants") {
    REQUIRE(lesson_kinds().size() == 10);
    for (const LessonKind& k : lesson_kinds()) {
        CHECK_FALSE(k.teaches.empty());
        CHECK_FALSE(k.wants.empty());
    }
}

TEST_CASE("every station of every lesson holes out when the ball is rolled at its marker") {
    for (const Ground& g : grounds())
        for (const LessonKind& kind : lesson_kinds()) {
            CAPTURE(std::string(g.name) + " " + kind.name);
            const StationPlan p = plan(g.green, g.hole, kind.name);
            MESSAGE(g.name << " " << kind.name << ": " << p.stations.size() << " stations " << p.missing);
            // These greens have room and slope for every lesson in full.
            const std::string lesson = kind.name;
            if (lesson == "two-tier" && std::string(g.name) != "tiered") {
                CHECK(p.stations.empty());
                CHECK(p.missing.find("tier between it and the hole") != std::string::npos);
                continue;
            }
            // The crown lies to the south of this hole, and the fall towards it is gentle.
            if (lesson == "downhill-pace" && std::string(g.name) == "crowned") {
                CHECK(p.missing.find("none of") != std::string::npos);
                continue;
            }
            // Below this tier only a narrow strip straight above the hole holds a ball and reads steadily.
            if (lesson == "two-tier") {
                CHECK(p.stations.size() >= 2);
                for (const PracticeStation& s : p.stations) check_rolls(g.green, s);
                continue;
            }
            CHECK(p.missing.empty());
            const bool threes = lesson == "three-paces" || lesson == "downhill-pace";
            CHECK(p.stations.size() >= (lesson == "ring" ? 8u : lesson == "start-gate" ? 2u : threes ? 3u : 4u));
            for (std::size_t i = 0; i < p.stations.size(); ++i) {
                const PracticeStation& s = p.stations[i];
                CHECK(s.label == std::string(1, static_cast<char>('A' + i)));
                CHECK(s.break_m == std::abs(s.aim_offset_m));
                check_rolls(g.green, s);
                // Room to stand, and players who do not cross.
                CHECK(g.green.outline.signed_distance(s.ball) >= 0.6 - 1e-9);
                for (std::size_t k = 0; k < i && kind.name != "three-paces"; ++k)
                    CHECK(distance(s.ball, p.stations[k].ball) >= 1.2 - 1e-9);
            }
        }
}

TEST_CASE("the fall line on a plane is straight above and straight below the hole") {
    const Vec2 down{0.6, -0.8}, hole{14, 12};
    const StationPlan p = plan(gentle_green(), hole, "fall-line");
    REQUIRE(p.stations.size() == 4);
    CHECK(p.missing.empty());
    int up = 0;
    for (const PracticeStation& s : p.stations) {
        CHECK(std::abs(cross(s.ball - hole, down)) < 0.005);
        CHECK(s.break_m < 0.005);
        CHECK(s.side == PuttSide::straight);
        CHECK(std::abs(std::abs(s.slope_along_pct) - 2) < 0.001);
        up += s.slope_along_pct > 0 ? 1 : 0;
    }
    CHECK(up == 2);
}

TEST_CASE("a ladder rises in near-equal steps at one distance") {
    for (const Ground& g : grounds()) {
        CAPTURE(g.name);
        const StationPlan p = plan(g.green, g.hole, "ladder");
        REQUIRE(p.stations.size() >= 4);
        const double step = (p.stations.back().break_m - p.stations.front().break_m) / (static_cast<double>(p.stations.size()) - 1);
        CHECK(step >= 0.04 - 0.002);
        for (std::size_t k = 0; k < p.stations.size(); ++k) {
            CHECK(p.stations[k].distance_m == doctest::Approx(p.stations[0].distance_m).epsilon(1e-9));
            CHECK(p.stations[k].side == p.stations[0].side);
            if (k > 0) CHECK(p.stations[k].break_m - p.stations[k - 1].break_m == doctest::Approx(step).epsilon(0.15));
        }
    }
}

TEST_CASE("both hands get the same break") {
    const StationPlan p = plan(gentle_green(), {14, 12}, "both-hands");
    REQUIRE(p.stations.size() >= 2);
    REQUIRE(p.stations.size() % 2 == 0);
    for (std::size_t k = 0; k < p.stations.size(); k += 2) {
        CHECK(p.stations[k].side == PuttSide::left_to_right);
        CHECK(p.stations[k + 1].side == PuttSide::right_to_left);
        CHECK(std::abs(p.stations[k].break_m - p.stations[k + 1].break_m) < 0.01);
    }
}

TEST_CASE("a firmer putt from the same ball takes less break") {
    const StationPlan p = plan(gentle_green(), {14, 12}, "three-paces");
    REQUIRE(p.stations.size() == 3);
    CHECK(p.stations[0].past_m == 0.10);
    CHECK(p.stations[1].past_m == 0.30);
    CHECK(p.stations[2].past_m == 0.60);
    for (int k = 1; k < 3; ++k) {
        CHECK(p.stations[k].ball == p.stations[0].ball);
        CHECK(p.stations[k].break_m < p.stations[k - 1].break_m);
        CHECK(distance(p.stations[k].marker, p.stations[k - 1].marker) >= 0.02 - 1e-3);
    }
}

TEST_CASE("a ring has eight spots evenly round the hole") {
    const StationPlan p = plan(gentle_green(), {14, 12}, "ring");
    REQUIRE(p.stations.size() == 8);
    for (int k = 0; k < 8; ++k) {
        const Vec2 a = p.stations[k].ball - p.stations[k].hole, b = p.stations[(k + 1) % 8].ball - p.stations[k].hole;
        CHECK(degrees(std::atan2(std::abs(cross(a, b)), dot(a, b))) == doctest::Approx(45).epsilon(1e-6));
    }
}

TEST_CASE("what a level green cannot give is said and the ring is still there") {
    const TerrainModel level = green_of(tilted(0.0, {1, 0}), ellipse({14, 12}, 12, 12));
    CHECK(plan(level, {14, 12}, "fall-line").missing.find("no straight uphill and no straight downhill") != std::string::npos);
    CHECK(plan(level, {14, 12}, "ladder").missing.find("largest steady break at 3 m is 0 cm") != std::string::npos);
    CHECK(plan(level, {14, 12}, "both-hands").missing.find("from both hands") != std::string::npos);
    CHECK(plan(level, {14, 12}, "three-paces").missing.find("three paces aim at most") != std::string::npos);
    CHECK(plan(level, {14, 12}, "ring").stations.size() == 8);
}

TEST_CASE("a green too steep for a lesson says so") {
    const TerrainModel steep = green_of(tilted(0.085, {0, -1}), ellipse({14, 12}, 12, 12));
    CHECK(plan(steep, {14, 12}, "fall-line").missing.find("no straight downhill") != std::string::npos);
    CHECK_FALSE(plan(steep, {14, 12}, "ring").missing.empty());
}

TEST_CASE("no ball and no path lies in a closed zone") {
    const std::vector<std::vector<Vec2>> zones = {{{14.5, 8}, {20, 8}, {20, 16}, {14.5, 16}}};
    const StationPlan p = plan(gentle_green(), {14, 12}, "ring", 10, zones);
    // The zone takes the east; spots to the west, the north and the south are far from it.
    CHECK(p.stations.size() >= 4);
    CHECK(p.stations.size() < 8);
    CHECK(p.missing.find("closed zone") != std::string::npos);
    for (const PracticeStation& s : p.stations) {
        REQUIRE(s.path.size() > 2);
        CHECK_FALSE(inside_any(zones, s.ball));
        for (Vec2 q : s.path) CHECK_FALSE(inside_any(zones, q));
    }
}

TEST_CASE("the same request gives the same bits") {
    const TerrainModel green = crowned_green();
    const StationPlan a = plan(green, {13.5, 15.5}, "ladder"), b = plan(green, {13.5, 15.5}, "ladder");
    REQUIRE(a.stations.size() == b.stations.size());
    for (std::size_t k = 0; k < a.stations.size(); ++k) {
        CHECK(std::memcmp(&a.stations[k].ball, &b.stations[k].ball, sizeof(Vec2)) == 0);
        CHECK(std::memcmp(&a.stations[k].marker, &b.stations[k].marker, sizeof(Vec2)) == 0);
    }
}

TEST_CASE("an unknown lesson is refused with the list of those there are") {
    try {
        plan(gentle_green(), {14, 12}, "spiral");
        CHECK(false);
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::usage);
        CHECK(std::string(e.what()).find("fall-line, ladder, both-hands, three-paces, ring") != std::string::npos);
    }
    CHECK_THROWS_AS(plan(gentle_green(), {60, 60}, "ladder"), Error);
    CHECK_THROWS_AS(plan(gentle_green(), {14, 12}, "ladder", 40), Error);
    Progress progress;
    progress.cancel();
    CHECK_THROWS_AS(plan_stations(gentle_green(), StationRequest{.hole = {14, 12}, .known = {}, .closed_zones = {}}, progress), Error);
}
