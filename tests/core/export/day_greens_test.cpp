#include "core/export/day_greens.h"

#include "core/base/error.h"
#include "core/record/hole_history.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"

#include <fstream>
#include <sstream>

using namespace brae;
using namespace brae::test;

namespace {

std::shared_ptr<const Green> with(const std::function<void(Green&)>& change) {
    Green g = sample_green();
    g.holes.clear();
    g.skipped.clear();
    change(g);
    return std::make_shared<const Green>(g);
}
std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file);
    std::stringstream out;
    out << in.rdbuf();
    return out.str();
}

}  // namespace

TEST_CASE("the hole of a day is the one that was cut, else the one planned, else the one that has stayed") {
    const auto green = with([](Green& g) {
        g.holes = {{"plan", {15, 10}, "2026-05-02", "", false}, {"plan", {18, 10}, "2026-05-03", "", false}, {"plan", {18, 12}, "2026-05-06", "", false}};
        for (StoredHole& h : g.holes) h.by_plan = true;
        g = with_hole_cut(g, {"2026-05-02", {15, 11}, "", "wet", 9.0}).green;
        g = with_day_skipped(g, {"2026-05-03", "frost", ""}).green;
    });
    CHECK(day_green(green, "2026-05-02").hole == Vec2{15, 11});
    CHECK(day_green(green, "2026-05-02").state == "as cut");
    CHECK(day_green(green, "2026-05-02").speed_ft == 9.0);
    CHECK(day_green(green, "2026-05-03").hole == Vec2{15, 11});
    CHECK(day_green(green, "2026-05-03").state == "stayed since 2026-05-02: frost");
    CHECK(day_green(green, "2026-05-06").hole == Vec2{18, 12});
    CHECK(day_green(green, "2026-05-06").state == "planned");
    CHECK_FALSE(day_green(green, "2026-05-01").hole);
    CHECK(day_green(green, "").hole == Vec2{15, 11});
    CHECK(place_words(day_green(green, "2026-05-01")) == "no hole");
    CHECK_THROWS_WITH_AS(day_green(green, "Tuesday"), doctest::Contains("'Tuesday'"), Error);
    // A hole that was put in without a date is today's of any day.
    const auto undated = with([](Green& g) { g.holes = {{"taped", {15, 10}, "", "", true}}; });
    CHECK(day_green(undated, "2026-05-02").hole == Vec2{15, 10});
    CHECK(day_green(undated, "2026-05-02").state == "today's, no date is known");
}

TEST_CASE("the speed of a day is the last reading on or before it, with its day, never a later one") {
    const auto green = with([](Green& g) {
        g.holes = {{"cut", {15, 11}, "2026-05-02", "", true, true}};
        g.speeds = {{9.0, 0.5, "2026-05-01", "ramp"}, {11.0, 0.5, "2026-05-09", "ramp"}, {9.4, 0.5, "2026-05-02T06:30:00Z", "ramp"}};
    });
    CHECK(day_green(green, "2026-05-02").speed_ft == 9.4);
    CHECK(speed_words(day_green(green, "2026-05-02"), "2026-05-02") == "9.4\u00a0ft");
    CHECK(speed_words(day_green(green, "2026-05-05"), "2026-05-05") == "9.4\u00a0ft on 2026-05-02");
    CHECK(day_green(green, "2026-05-01").speed_ft == 9.0);
    CHECK_FALSE(day_green(green, "2026-04-30").speed_ft);
    // Of a hole that is only planned, what it was planned for is told as that.
    const auto planned = with([](Green& g) {
        g.speeds.clear();
        g.holes = {{"plan", {15, 11}, "2026-05-02", "", false, false, 10.0}};
        g.holes[0].by_plan = true;
    });
    CHECK(speed_words(day_green(planned, "2026-05-02"), "2026-05-02") == "planned at 10.0\u00a0ft");
    CHECK(day_green(planned, "2026-05-02").state == "planned");
}

TEST_CASE("every hole of a practice green is told in paces, on paper and in the points") {
    const auto green = with([](Green& g) {
        g.name = "practice";
        g.line_of_play = line_of_play_towards(0);
        g = with_hole_cut(g, {"2026-05-02", {15, 11}, "", "", 9.0}).green;
        g = with_hole_cut(g, {"2026-05-02", {12, 14}, "", "", {}, true}).green;
    });
    const DayGreen day = day_green(green, "2026-05-02");
    REQUIRE(day.others.size() == 1);
    REQUIRE(day.other_paces.size() == 1);
    REQUIRE(day.other_paces[0]);
    const std::string paces = paces_text(*day.other_paces[0]);
    CHECK(other_words(day) == "+ " + paces);
    const auto points = day_points({day}, "2026-05-02");
    REQUIRE(points.size() == 2);
    const Scratch scratch;
    write_points(points, scratch / "h.csv");
    CHECK(text_of(scratch / "h.csv").find("practice hole 2,HOLE,12.000,14.000,") != std::string::npos);
    CHECK(text_of(scratch / "h.csv").find("\"" + paces + "; as cut; 2026-05-02\"") != std::string::npos);
}

TEST_CASE("greens are in the order of their numbers, names behind them") {
    std::vector<DayGreen> greens;
    for (const char* name : {"10", "Putting", "2", "1", "Chipping"}) greens.emplace_back().green = with([&](Green& g) { g.name = name; });
    sort_day_greens(greens);
    std::string order;
    for (const DayGreen& g : greens) order += g.green->name + " ";
    CHECK(order == "1 2 10 Chipping Putting ");
    CHECK(counted_before("green 2", "green 10"));
    CHECK(counted_before("10", "Chipping"));
    CHECK_FALSE(counted_before("Putting", "2"));
}

TEST_CASE("the holes of a day go to a file with paces, state, speed and date") {
    const Scratch scratch;
    const auto green = with([](Green& g) {
        g.name = "7";
        g.line_of_play = line_of_play_towards(0);
        g = with_hole_cut(g, {"2026-05-02", {15, 11}, "", "", 9.0}).green;
    });
    const auto points = day_points({day_green(green, "2026-05-02"), day_green(with([](Green&) {}), "2026-05-02")}, "2026-05-02");
    REQUIRE(points.size() == 1);
    write_points(points, scratch / "h.csv");
    const std::string text = text_of(scratch / "h.csv");
    CHECK(text.find("7 hole,HOLE,15.000,11.000,") != std::string::npos);
    CHECK(text.find("; as cut; 9.0 ft; 2026-05-02") != std::string::npos);
    CHECK(text.find(" on, ") != std::string::npos);
    CHECK_THROWS_WITH_AS(write_points(std::vector<PointOfGreen>{}, scratch / "n.csv"), doctest::Contains("no points"), Error);
}
