#include "core/record/green_zones.h"

#include "core/base/calendar.h"
#include "core/record/green_file.h"
#include "core/record/hole_question.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;

namespace {

const std::vector<Vec2> kRing{{10, 10}, {12, 10}, {12, 12}, {10, 12}};
int day(const char* date) { return *day_number(date); }

}  // namespace

TEST_CASE("a zone is closed up to the day before its own, for good without one, and a guard closes nothing") {
    const Zone dated{"Scar", "worn", kRing, "2026-05-10"}, lasting{"Seed", "no hole", kRing, ""}, unread{"Wet", "closed", kRing, "soon"}, sand{"left", "bunker", kRing, ""};
    CHECK(closed_on(dated, day("2026-05-09")));
    CHECK_FALSE(closed_on(dated, day("2026-05-10")));
    CHECK(closed_on(lasting, day("2036-01-01")));
    CHECK(closed_on(unread, day("2026-05-10")));
    CHECK_FALSE(closed_on(sand, day("2026-05-01")));
    CHECK(zone_words(dated) == "zone 'Scar' (worn, until 2026-05-10)");
    CHECK(zone_words(lasting) == "zone 'Seed' (no hole)");
    CHECK(zone_words({"", "closed", kRing, ""}) == "zone (closed)");
    CHECK(zone_words(sand) == "bunker 'left'");
    Green g;
    g.zones = {dated, lasting, sand};
    CHECK(closed_at(g, {11, 11}, day("2026-05-09")).size() == 2);
    CHECK(closed_at(g, {10, 11}, day("2026-05-10")).size() == 1);   // its edge belongs to it
    CHECK(closed_at(g, {9, 11}, day("2026-05-09")).empty());
}

TEST_CASE("a zone of kind gate in a file is read as a gate at its middle, once, and stands in one table from then on") {
    Scratch scratch;
    const fs::path file = scratch / "g.gpkg";
    Green green = sample_green();
    const std::size_t gates = green.gates.size(), zones = green.zones.size();
    green.zones.push_back({"by the oak", "gate", kRing, ""});
    Vec2 there = green.gates[0].p;
    green.zones.push_back({"the same again", "gate", {there + Vec2{-0.2, -0.1}, there + Vec2{0.2, -0.1}, there + Vec2{0, 0.3}}, ""});
    Progress progress;
    write_green_file(green, file, progress);
    Green back = read_green_file(file);
    CHECK(back.zones.size() == zones);
    REQUIRE(back.gates.size() == gates + 1);
    CHECK(back.gates.back().name == "by the oak");
    CHECK(distance(back.gates.back().p, {11, 11}) < 1e-9);
    back.holes.clear();
    CHECK(hole_question(back, "2026-05-04", 3).over.gates.size() == gates + 1);
    ++back.revision;
    update_green_file(back, file);
    const Green again = read_green_file(file);
    CHECK(again.gates == back.gates);
    CHECK(again.zones.size() == zones);
}

TEST_CASE("a place in a closed zone is no fair place, and the zone is named") {
    Green g = sample_green();
    g.holes.clear();
    g.zones = {{"Scar", "worn", kRing, "2026-05-10"}};
    const HoleQuestion q = hole_question(g, "2026-05-04", 0);
    REQUIRE(q.around.closed_words.size() == 1);
    const auto rows = HoleGround(*g.terrain, q.around, {}).judge({11, 11}, 10);
    const auto row = std::find_if(rows.begin(), rows.end(), [](const Criterion& c) { return c.name == "closed ground"; });
    REQUIRE(row != rows.end());
    CHECK_FALSE(row->pass);
    CHECK(row->sentence == "the place lies in the zone 'Scar' (worn, until 2026-05-10)");
    for (const Criterion& c : HoleGround(*g.terrain, q.around, {}).judge({14, 13}, 10)) CHECK(c.name != "closed ground");
    CHECK(hole_question(g, "2026-05-10", 0).around.closed.empty());
}
