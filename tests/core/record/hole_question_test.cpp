#include "core/record/hole_question.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/record/hole_history.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"

using namespace brae;
using brae::test::sample_green;

namespace {

Green bare() {
    Green g = sample_green();
    g.holes.clear();
    g.skipped.clear();
    g.zones.clear();
    g.gates.clear();
    g.line_of_play.reset();
    return g;
}

}  // namespace

TEST_CASE("planners keep clear of where the hole was cut, not of where it was planned, for each day that it was in use") {
    Green g = bare();
    g.holes = {{"plan", {12, 10}, "2026-05-01", "", false}, {"plan", {15, 10}, "2026-05-02", "", false}};
    g = with_hole_cut(g, {"2026-05-02", {15, 11}, "", "", {}}).green;
    g = with_day_skipped(g, {"2026-05-03", "frost", ""}).green;
    const HoleQuestion q = hole_question(g, "2026-05-04", 7);
    REQUIRE(q.over.past.size() == 3);   // 1; 2 and 3 May
    CHECK(q.over.past[0].p == Vec2{15, 11});
    CHECK(q.over.past[0].day == -1);
    CHECK(q.over.past[1].day == -2);
    CHECK(q.over.past[2].p == Vec2{12, 10});
    CHECK(q.recent.size() == 2);
    CHECK(q.over.by_hand.empty());
}

TEST_CASE("what is written down for the days of a plan stands, and a day that is skipped has none") {
    Green g = bare();
    g.holes = {{"plan", {12, 10}, "2026-05-05", "", false}, {"plan", {15, 10}, "2026-05-06", "", false}, {"plan", {15, 13}, "2026-05-06", "", false},
               {"plan", {18, 10}, "2026-05-20", "", false}};
    g.skipped = {{"2026-05-05", "water", ""}};
    const HoleQuestion q = hole_question(g, "2026-05-04", 7);
    REQUIRE(q.over.by_hand.size() == 1);
    CHECK(q.over.by_hand[0].day == 2);
    CHECK(q.over.by_hand[0].p == Vec2{15, 13});
    REQUIRE(q.warnings.size() == 1);
    CHECK(q.warnings[0].find("beyond the days planned") != std::string::npos);
    CHECK(hole_question(g, "2026-05-04", 0).over.by_hand.empty());
    CHECK_THROWS_WITH_AS(hole_question(g, "soon", 7), doctest::Contains("'soon'"), Error);
}

TEST_CASE("line of play, gates and zones come from the green; a bearing that is asked for comes first") {
    Green g = bare();
    g.line_of_play = line_of_play_towards(90);
    g.gates = {{"gate 1", {26, 13}}};
    g.zones = {{"sand", "bunker", {{3, 3}, {5, 3}, {4, 5}}, ""}, {"wet", "closed", {{10, 10}, {12, 10}, {11, 12}}, "2026-05-06"},
               {"old", "closed", {{14, 10}, {16, 10}, {15, 12}}, "2026-05-01"}};
    const HoleQuestion q = hole_question(g, "2026-05-04", 7);
    REQUIRE(q.around.play);
    CHECK(norm(*q.around.play - Vec2{1, 0}) < 1e-12);
    REQUIRE(q.over.gates.size() == 1);
    CHECK(q.around.guards.size() == 1);
    CHECK(q.around.closed.size() == 1);          // on the first day
    CHECK(q.whole_plan.closed.empty());          // it opens on the third
    REQUIRE(q.over.zones.size() == 1);
    CHECK(q.over.zones[0].open_from == 2);
    CHECK(norm(*hole_question(g, "2026-05-04", 7, Vec2{0, 1}).around.play - Vec2{0, 1}) < 1e-12);
}

TEST_CASE("a history that lies off the green is named and left aside, and days before today's hole are refused") {
    Green g = bare();
    g.holes = {{"far", {120, 10}, "2026-05-01", "", false}};
    HoleQuestion q = hole_question(g, "2026-05-04", 7);
    CHECK(q.over.past.empty());
    REQUIRE(q.warnings.size() == 2);
    CHECK(q.warnings[0].find("belongs to another green") != std::string::npos);
    g.holes = {{"today", {12, 10}, "2026-05-09", "", true}};
    CHECK_THROWS_WITH_AS(hole_question(g, "2026-05-04", 7), doctest::Contains("lies before today's hole"), Error);
    q = hole_question(g, "2026-05-09", 0);
    REQUIRE(q.recent.size() == 1);
    CHECK(q.recent[0] == Vec2{12, 10});
}

TEST_CASE("what a plan chose is planned anew, what people set stands, and a skipped day is handed on with the hole that stays") {
    Green g = bare();
    g.holes = {{"cut", {12, 10}, "2026-05-03", "", true, true}, {"plan", {15, 10}, "2026-05-05", "", false}, {"set", {15, 13}, "2026-05-06", "", false},
               {"plan", {18, 10}, "2026-05-20", "", false}};
    g.holes[1].by_plan = g.holes[3].by_plan = true;
    g.skipped = {{"2026-05-07", "machines", ""}, {"2026-05-04", "frost", ""}};
    const HoleQuestion q = hole_question(g, "2026-05-04", 5);
    REQUIRE(q.over.by_hand.size() == 1);
    CHECK(q.over.by_hand[0].p == Vec2{15, 13});
    CHECK(q.over.skipped == std::vector<int>{0, 3});
    REQUIRE(q.skipped.size() == 2);
    CHECK(q.skipped[0].reason == "frost");
    CHECK(q.warnings.empty());
    // The hole of 3 May is in use on the 4th too.
    REQUIRE(q.over.past.size() == 2);
    CHECK(q.over.past[1].day == 0);
    CHECK(q.over.past[1].p == Vec2{12, 10});
}

TEST_CASE("holes just outside the edge are told as that, not as another green's") {
    Green g = bare();
    g.holes = {{"old", {2, 12}, "2026-05-01", "", false, true}};   // the ring begins at about 5 m
    const HoleQuestion q = hole_question(g, "2026-05-04", 7);
    REQUIRE(q.warnings.size() == 1);
    CHECK(q.warnings[0].find("outside the edge as it is now") != std::string::npos);
    CHECK(q.warnings[0].find("another green") == std::string::npos);
    CHECK(q.over.past.empty());
}

TEST_CASE("closed zones are named with kind and day, those that are open by then are not") {
    Green g = bare();
    g.zones = {{"sand", "bunker", {{3, 3}, {5, 3}, {4, 5}}, ""}, {"new turf", "closed", {{10, 10}, {12, 10}, {11, 12}}, "2026-06-01"},
               {"old", "closed", {{14, 10}, {16, 10}, {15, 12}}, "2026-05-01"}, {"", "worn", {{14, 10}, {16, 10}, {15, 12}}, ""}};
    CHECK(closed_zones_words(g, "2026-05-04", 7) == "closed are 'new turf' (closed, until 2026-06-01) and 'worn' (worn)");
    g.zones.resize(1);
    CHECK(closed_zones_words(g, "2026-05-04", 7).empty());
}
