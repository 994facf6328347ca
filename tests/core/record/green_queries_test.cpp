#include "core/record/green_queries.h"

#include "core/base/error.h"
#include "tests/support/support.h"

using namespace brae;

TEST_CASE("recent holes are today's, then the latest by date, then those without a date") {
    Green g;
    g.holes = {{"old", {1, 1}, "2019-05-01", "", false}, {"undated", {2, 2}, "", "", false},
               {"yesterday", {3, 3}, "2026-05-01", "", false}, {"now", {4, 4}, "", "", true}};
    const auto all = recent_holes(g);
    REQUIRE(all.size() == 4);
    CHECK(all[0] == Vec2{4, 4});
    CHECK(all[1] == Vec2{3, 3});
    CHECK(all[2] == Vec2{1, 1});
    CHECK(all[3] == Vec2{2, 2});
    CHECK(recent_holes(g, 2).size() == 2);
}

TEST_CASE("today's hole takes the place of one within 30 cm of it, and the one before stays as a past one") {
    Green green;
    green.holes = {{"today", {5, 5}, "2026-05-01", "", true}, {"plan a", {9, 9.2}, "", "", false}};
    const auto moved = holes_with_today_at(green, {9, 9}, "2026-05-02", "taped");
    REQUIRE(moved.size() == 2);
    CHECK(moved[0].p == Vec2{5, 5});
    CHECK(!moved[0].today);
    CHECK(moved[1].p == Vec2{9, 9});
    CHECK(moved[1].today);
    CHECK(moved[1].date == "2026-05-02");
    CHECK(moved[1].set_by == "taped");
    CHECK(holes_with_today_at(green, {9, 9.6}, "", "").size() == 3);
    CHECK(moved[1].as_cut);
    // What was cut there weeks ago is history and stays.
    green.holes.push_back({"cut", {9, 9}, "2026-04-01", "", false, true});
    CHECK(holes_with_today_at(green, {9, 9}, "2026-05-02", "taped").size() == 3);
    CHECK(holes_with_today_at(green, {9, 9}, "2026-04-01", "taped").size() == 2);
}

TEST_CASE("the speed of the day is what is asked, else the newest reading with its own uncertainty") {
    Green g;
    CHECK_THROWS_AS(speed_of_day(g, {}), Error);
    CHECK(speed_of_day(g, 9.0).sigma_ft == kGreenSpeedSigmaFt);
    g.speeds = {{9.0, 0.4, "", ""}, {10.2, 0.1, "", ""}};
    CHECK(speed_of_day(g, {}).speed_ft == 10.2);
    CHECK(speed_of_day(g, {}).sigma_ft == 0.1);
    CHECK(speed_of_day(g, 10.2).sigma_ft == 0.1);
    CHECK(speed_of_day(g, 11.0).speed_ft == 11.0);
    CHECK(speed_of_day(g, 11.0).sigma_ft == kGreenSpeedSigmaFt);
}

TEST_CASE("stations keep clear of every hole of a practice green but their own") {
    Green g;
    g.holes = {{"today", {5, 5}, "", "", true}, {"today", {9, 9}, "", "", true}, {"old", {1, 1}, "2026-05-01", "", false}};
    const StationRequest own = station_request(g, {9, 9}, 10, 0.3, "ladder");
    CHECK(own.hole_is_cut);
    REQUIRE(own.other_holes.size() == 1);
    CHECK(own.other_holes[0] == Vec2{5, 5});
    const StationRequest none = station_request(g, {7, 7}, 10, 0.3, "ladder");
    CHECK_FALSE(none.hole_is_cut);
    CHECK(none.other_holes.size() == 2);
}

TEST_CASE("stations of another surface or another hole are named as stale") {
    Green g;
    g.surface_revision = 2;
    g.holes = {{"today", {5, 5}, "", "", true}};
    StoredStation s;
    s.station.hole = {5, 5};
    s.surface_revision = 2;
    g.stations = {s};
    CHECK(stale_stations(g).empty());
    g.stations[0].station.green_speed_ft = 10;
    g.speeds = {{9.9, 0.1, "2026-05-02", "ramp"}};
    CHECK(stale_stations(g).empty());
    g.speeds[0].speed_ft = 9;
    REQUIRE(stale_stations(g).size() == 1);
    CHECK(stale_stations(g)[0].find("10.0 ft and the last reading is 9.0 ft") != std::string::npos);
    g.speeds.clear();
    g.stations[0].surface_revision = 1;
    CHECK(stale_stations(g).size() == 1);
    g.holes[0].p = {7, 5};
    CHECK(stale_stations(g).size() == 2);
}

TEST_CASE("a zone without a hole may be putted over, worn and closed ground may not") {
    Green green;
    const std::vector<Vec2> ring{{0, 0}, {1, 0}, {1, 1}};
    green.zones = {{"seed", "no hole", ring, ""}, {"scar", "worn", ring, ""}, {"path", "closed", ring, ""}};
    CHECK(closed_to_holes(green).size() == 3);
    CHECK(closed_to_stations(green).size() == 2);
}
