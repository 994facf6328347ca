// brae holes as a script runs it: today, days, one place, maps, a course, and wrong input.
#include "core/plan/hole_settings.h"
#include "core/record/geopackage.h"
#include "core/record/green_file.h"
#include "tests/support/plane_green.h"
#include "tests/support/process.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <nlohmann/json.hpp>

using namespace brae;
using namespace brae::test;

namespace {

const Scratch scratch;

// A level green of 16 x 16 m with what a test puts on it, as a file of its own.
fs::path green_with(const std::string& name, const std::function<void(Green&)>& change, double slope = 0.01, double side = 16) {
    const fs::path xyz = scratch / (name + ".xyz"), file = scratch / (name + ".gpkg");
    std::string text;
    for (int j = 0; j * 0.4 <= side; ++j)
        for (int i = 0; i * 0.4 <= side; ++i) text += fmt::format("{:.3f} {:.3f} {:.6f}\n", 0.4 * i, 0.4 * j, slope * 0.4 * j);
    write_file(xyz, text);
    REQUIRE(run_brae({"survey", xyz.string(), "--out", file.string(), "--json"}).code == 0);
    Green green = read_green_file(file);
    change(green);
    green.revision += 1;
    update_green_file(green, file);
    return file;
}
std::vector<Vec2> rectangle(double x0, double y0, double x1, double y1) { return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}; }

// Another program that holds a green file.
class Held {
public:
    explicit Held(const fs::path& file) : db_(file, Database::Access::write) { db_.run("BEGIN IMMEDIATE"); }
    ~Held() { db_.run("ROLLBACK"); }
    Held(const Held&) = delete;
    Held& operator=(const Held&) = delete;

private:
    Database db_;
};

}  // namespace

TEST_CASE("brae holes gives three places apart, each with its criteria and the speed up to which it is fair, and a site for the ramp") {
    const std::string green = green_with("today", [](Green& g) { g.holes = {{"today", {8, 8}, "2026-05-01", "", true}}; }).string();
    const Outcome o = run_brae({"holes", green, "--speed", "10", "--from", "2026-05-02", "--spacing", "1", "--forecast", "15.9", "--by-speed", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    const auto j = o.json();
    REQUIRE(j["positions"].size() >= 2);
    CHECK(j["positions"].size() <= 3);
    for (const auto& p : j["positions"]) {
        const double x = p["x"], y = p["y"];
        CHECK(std::hypot(x - 8, y - 8) >= 3);   // from yesterday's
        CHECK(p["criteria"].size() >= 9);
        for (const auto& c : p["criteria"]) CHECK(c["pass"] == true);
        CHECK(p["fair_to_ft"].get<double>() >= 10);
        CHECK(p["putts"].get<double>() > 1);
        CHECK(p["slope_pct"].get<double>() == doctest::Approx(1).epsilon(0.05));
        CHECK_FALSE(p["why"].get<std::string>().empty());
    }
    CHECK(j["ramp"]["slope_pct"].get<double>() == doctest::Approx(1).epsilon(0.05));
    CHECK(std::min(j["ramp"]["bearing_deg"].get<double>(), 360 - j["ramp"]["bearing_deg"].get<double>()) < 3);   // uphill is north
    REQUIRE(j["by_speed"].size() == 6);
    CHECK(j["by_speed"][0]["area_m2"].get<double>() >= j["by_speed"][5]["area_m2"].get<double>());
    CHECK(j["candidates"].get<int>() > 150);
}

TEST_CASE("holes dated within a plan are kept, zones open on their day, and the rest keeps its distances") {
    const std::string green = green_with("days", [](Green& g) {
        g.holes = {{"today", {8, 8}, "2026-05-01", "", true}, {"plan", {5.25, 10.5}, "2026-05-04", "", false}};
        g.zones = {{"new turf", "closed", rectangle(8.2, 0, 16, 16), "2026-05-05"}, {"old", "closed", rectangle(0, 0, 8, 16), "2026-04-20"}};
    }).string();
    const Outcome o = run_brae({"holes", green, "--speed", "9", "--from", "2026-05-02", "--days", "4", "--spacing", "1", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    const auto rows = o.json()["positions"];
    REQUIRE(rows.size() >= 3);
    bool kept = false;
    for (const auto& p : rows) {
        const Vec2 at{p["x"], p["y"]};
        if (p["date"] == "2026-05-04") kept = distance(at, {5.25, 10.5}) < 1e-6;
        if (p["date"] < "2026-05-05") CHECK(at.x < 8.2);
        for (const auto& q : rows)
            if (q["day"] != p["day"]) CHECK(distance(at, {q["x"], q["y"]}) >= 3 - 1e-6);
    }
    CHECK(kept);
    CHECK(o.json()["gap_pct"].get<double>() <= 5.001);
}

TEST_CASE("one place is judged by every criterion, in words, with the speed that ends it and a warning of a forecast") {
    const std::string green = green_with("place", [](Green&) {}, 0.024).string();
    const Outcome o = run_brae({"holes", green, "--speed", "10", "--place", "8,8", "--forecast", "13", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    const auto j = o.json();
    CHECK(j["fair"] == true);
    CHECK(j["fair_to_ft"].get<double>() == doctest::Approx(12.5).epsilon(0.01));   // 30 / 2.4 (derived)
    CHECK(j["ends_by"] == "slope");
    REQUIRE(j["forecast"].size() == 1);
    const Outcome near = run_brae({"holes", green, "--speed", "10", "--place", "1,8"});
    CHECK(near.code == 0);
    CHECK(near.out.find("not fair") != std::string::npos);
    CHECK(near.out.find("is short of the 3.7 m (4.0 paces) wanted") != std::string::npos);
}

TEST_CASE("maps of every criterion are written, and the profile and a club's own limits count") {
    const std::string green = green_with("maps", [](Green&) {}, 0.035, 13).string();
    const fs::path folder = scratch / "maps-out";
    Outcome o = run_brae({"holes", green, "--speed", "10", "--spacing", "1", "--maps", folder.string(), "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(o.json()["positions"].empty());   // 3.5 % everyday
    CHECK(o.json()["why_none"].get<std::string>().find("fails on slope") != std::string::npos);
    CHECK(o.json()["maps"].size() >= 8);
    for (const auto& f : o.json()["maps"]) CHECK(fs::file_size(f.get<std::string>()) > 300);
    CHECK(run_brae({"holes", green, "--speed", "10", "--spacing", "1", "--profile", "competition", "--json"}).json()["fair"].get<int>() > 0);
    write_file(scratch / "club.json", R"({"slope_ceiling_pct": 4, "slope_times_speed": 45, "edge_paces": 3, "player": {"start_line_deg": 1.5, "launch_pct": 8}})");
    o = run_brae({"holes", green, "--speed", "10", "--spacing", "1", "--limits", (scratch / "club.json").string(), "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(o.json()["fair"].get<int>() > 0);
}

TEST_CASE("a folder is a course: a green that cannot be read says so and the others are planned together") {
    const fs::path course = scratch / "course";
    fs::create_directories(course);
    const fs::path one = green_with("c", [](Green&) {});
    for (const char* name : {"1.gpkg", "2.gpkg", "10.gpkg", "practice.gpkg"}) fs::copy_file(one, course / name);
    Outcome o = run_brae({"holes", course.string(), "--speed", "9", "--days", "3", "--from", "2026-05-02", "--spacing", "1", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    auto j = o.json();
    REQUIRE(j["greens"].size() == 4);
    CHECK(j["greens"][1]["name"] == "2");
    CHECK(j["greens"][2]["name"] == "10");
    CHECK(j["plan"]["rows"].size() == 12);
    for (const auto& a : j["plan"]["rows"])
        for (const auto& b : j["plan"]["rows"])
            if (a["green"] == b["green"] && a["day"] != b["day"])
                CHECK(std::hypot(a["x"].get<double>() - b["x"].get<double>(), a["y"].get<double>() - b["y"].get<double>()) >= 3 - 1e-6);
    // The same input gives the same plan.
    CHECK(run_brae({"holes", course.string(), "--speed", "9", "--days", "3", "--from", "2026-05-02", "--spacing", "1", "--json"}).out == o.out);

    // Kept: one green cannot be written and says so, the others are printed from the plan, told in paces where there is a line of play.
    REQUIRE(run_brae({"line", (course / "1.gpkg").string(), "--bearing", "0"}).code == 0);
    REQUIRE(run_brae({"cut", (course / "1.gpkg").string(), "--at", "8,9", "--date", "2027-02-03", "--planned"}).code == 0);
    REQUIRE(run_brae({"cut", (course / "2.gpkg").string(), "--at", "skipped machines", "--date", "2027-02-02", "--planned"}).code == 0);
    const Held held(course / "10.gpkg");
    const std::vector<std::string> keep{"holes", course.string(), "--speed", "9", "--days", "3", "--from", "2027-02-01", "--spacing", "1", "--keep", "--by", "JM", "--json"};
    o = run_brae(keep);
    CHECK(o.code == 1);
    j = o.json();
    CHECK(j["failed"] == 1);
    CHECK(j["greens"][0]["kept"] == 2);   // the third day is set by hand
    CHECK(j["greens"][1]["kept"] == 2);   // the second is skipped
    CHECK(j["greens"][2]["not_kept"].get<std::string>().find("10.gpkg") != std::string::npos);
    CHECK(j["greens"][3]["kept"] == 3);
    CHECK(j["plan"]["rows"].size() == 11);
    REQUIRE(j["plan"]["skipped"].size() == 1);
    CHECK(j["plan"]["skipped"][0]["reason"] == "machines");
    for (const auto& row : j["plan"]["rows"]) {
        CHECK(row["place"].is_object() == (row["green"] == "1"));
        CHECK(row["by_hand"] == (row["green"] == "1" && row["day"] == 3));
    }
    const fs::path day = scratch / "day.csv";
    REQUIRE(run_brae({"sheet", course.string(), "--kind", "day", "--date", "2027-02-02", "--out", day.string()}).code == 0);
    const std::string printed = whole_file(day);
    for (const auto& row : j["plan"]["rows"])
        if (row["day"] == 2 && row["green"] != "10")
            CHECK_MESSAGE(printed.find(fmt::format("hole,HOLE,{:.3f},{:.3f}", row["x"].get<double>(), row["y"].get<double>())) != std::string::npos, printed);
    CHECK(printed.find(" on, ") != std::string::npos);
    // Planned anew, the plan's own holes give way and the hand's stays.
    j = run_brae(keep).json();
    CHECK(j["greens"][0]["kept_remarks"][0].get<std::string>().find("takes the place of 2 holes") == 0);
    CHECK(j["plan"]["rows"].size() == 11);
    const auto ahead = run_brae({"cut", (course / "1.gpkg").string(), "--date", "2027-01-31", "--json"}).json()["greens"][0]["ahead"];
    REQUIRE(ahead.size() == 3);
    CHECK(ahead[0]["state"] == "planned");
    CHECK(ahead[2]["state"] == "by hand");
    CHECK(ahead[2]["x"] == 8.0);
    // The sheet of the days prints what is kept, and plans only what is not.
    const fs::path days = scratch / "days.pdf";
    const auto sheet = run_brae({"sheet", (course / "1.gpkg").string(), "--kind", "holes", "--speed", "9", "--days", "4", "--from", "2027-02-01", "--out", days.string(), "--json"}).json();
    REQUIRE(sheet["positions"].size() == 4);
    for (const auto& row : j["plan"]["rows"]) {
        if (row["green"] != "1") continue;
        const auto& there = sheet["positions"][row["day"].get<std::size_t>() - 1];
        CHECK(there["x"] == row["x"]);
        CHECK(there["y"] == row["y"]);
        CHECK(there["why"].get<std::string>().starts_with(row["day"] == 3 ? "2027-02-03: set by hand" : fmt::format("2027-02-0{}: as the plan is kept", row["day"].get<int>())));
    }
    REQUIRE(sheet["warnings"].size() == 1);
    CHECK(sheet["warnings"][0].get<std::string>().starts_with("for 1 of 4 days the green keeps no hole"));
    refused({"holes", course.string(), "--speed", "9", "--keep"}, 2, "--keep: found no --days");

    write_file(course / "3.gpkg", "no green");
    o = run_brae({"holes", course.string(), "--speed", "9", "--spacing", "1.5", "--json"});
    CHECK(o.code == 1);
    j = o.json();
    CHECK(j["failed"] == 1);
    CHECK_FALSE(j["greens"][2]["error"].get<std::string>().empty());
    CHECK(j["greens"][0]["positions"].size() >= 2);
}

TEST_CASE("what is wrong with a question about holes is one sentence, and with a green's history a warning") {
    const std::string green = green_with("wrong", [](Green& g) { g.holes = {{"today", {8, 8}, "2026-05-09", "", true}}; }).string();
    refused({"holes", green, "--speed", "10", "--profile", "major"}, 2, "everyday or competition is wanted");
    refused({"holes", green, "--speed", "10", "--from", "2026-02-30"}, 2, "a day such as 2026-05-02 is wanted");
    refused({"holes", green, "--speed", "10", "--from", "2026-05-02"}, 2, "lies before today's hole, which was cut on 2026-05-09");
    refused({"holes", green, "--speed", "10", "--forecast", "40"}, 2, "--forecast: found 40 ft");
    refused({"holes", green, "--speed", "10", "--limits", (scratch / "nonesuch.json").string()}, 2, "cannot be read");
    write_file(scratch / "bad.json", R"({"edge_paces": "four"})");
    refused({"holes", green, "--speed", "10", "--limits", (scratch / "bad.json").string()}, 2, "edge_paces: found \"four\"; a number is wanted");
    write_file(scratch / "bad.json", R"({"edges": 4})");
    refused({"holes", green, "--speed", "10", "--limits", (scratch / "bad.json").string()}, 2, "'edges' is no limit");
    fs::create_directories(scratch / "empty");
    refused({"holes", (scratch / "empty").string(), "--speed", "10"}, 1, "holds no green file");
    refused({"holes", (scratch / "empty").string(), "--speed", "10", "--by-speed"}, 2, "belong to one green");

    // A history from another green, and zones that cover everything.
    const std::string other = green_with("other", [](Green& g) { g.holes = {{"old", {400, 300}, "2026-04-30", "", false}}; }).string();
    const Outcome o = run_brae({"holes", other, "--speed", "10", "--from", "2026-05-02", "--spacing", "1.5", "--json"});
    CHECK(o.code == 0);
    CHECK(o.json()["warnings"].dump().find("belongs to another green") != std::string::npos);
    CHECK_FALSE(o.json()["positions"].empty());
    const std::string covered = green_with("covered", [](Green& g) { g.zones = {{"all", "closed", rectangle(-5, -5, 30, 30), ""}}; }).string();
    const Outcome none = run_brae({"holes", covered, "--speed", "10", "--json"});
    CHECK(none.code == 0);
    CHECK(none.json()["positions"].empty());
    CHECK(none.json()["why_none"].get<std::string>().find("closed zones cover all") != std::string::npos);
    CHECK(none.json()["why_none"].get<std::string>().find("closed is 'all'") != std::string::npos);
    // Of a folder the same cause, not the distances.
    fs::create_directories(scratch / "closed");
    fs::copy_file(covered, scratch / "closed" / "1.gpkg");
    const auto plan = run_brae({"holes", (scratch / "closed").string(), "--speed", "10", "--days", "2", "--from", "2026-05-02", "--json"}).json();
    CHECK(plan["greens"][0]["why_none"].get<std::string>().find("closed is 'all'") != std::string::npos);
    CHECK(plan["plan"]["remarks"].dump().find("unhealed plugs") == std::string::npos);
}

TEST_CASE("a place is asked for in paces, the end of the search is told as such, and no fair place is an answer") {
    const std::string green = green_with("paces", [](Green& g) { g.line_of_play = line_of_play_towards(0); }, 0.005).string();
    Outcome o = run_brae({"holes", green, "--speed", "8", "--place", "8 on, 8 left", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(o.json()["y"].get<double>() == doctest::Approx(8 * 0.9144).epsilon(0.05));
    CHECK(o.json()["place"]["on_paces"] == 8.0);
    CHECK(o.json()["ends_by"] == "");
    o = run_brae({"holes", green, "--speed", "8", "--place", "8 on, 14 left"});
    CHECK(o.code == 0);
    CHECK(o.out.find("understood as 14 paces from the left edge; the right one is nearer") != std::string::npos);
    CHECK(run_brae({"holes", green, "--speed", "8", "--place", "8 on, 8 left"}).out.find("at least 16 ft") != std::string::npos);
    refused({"holes", green, "--speed", "8", "--place", "skipped frost"}, 2, "one place is wanted");
    refused({"holes", green, "--speed", "8", "--place", "somewhere"}, 2, "--place: found 'somewhere'");
    const std::string steep = green_with("steep", [](Green&) {}, 0.06, 12).string();
    o = run_brae({"holes", steep, "--speed", "12", "--spacing", "2"});
    CHECK(o.code == 0);
    CHECK(o.out.find("no fair position: no place is fair at 12.0 ft; the closest") != std::string::npos);
}
