// brae line and brae cut: the way a green is played, the hole as it was cut, its history, a whole course from one file.
#include "tests/support/plane_green.h"
#include "tests/support/refusal.h"

#include <cmath>

using namespace brae::test;

namespace {

constexpr double kPaceM = 0.9144;

// A folder of three greens played from the south.
fs::path course(const Scratch& scratch) {
    const fs::path folder = scratch / "course";
    fs::create_directory(folder);
    const fs::path plane = plane_green(scratch, 0.015);
    for (const char* name : {"7", "8", "practice"}) {
        const fs::path xyz = fs::path(plane).replace_extension(".xyz");
        REQUIRE(run_brae({"survey", xyz.string(), "--out", (folder / (std::string(name) + ".gpkg")).string(), "--json"}).code == 0);
        REQUIRE(run_brae({"line", (folder / (std::string(name) + ".gpkg")).string(), "--bearing", "0", "--json"}).code == 0);
    }
    return folder;
}

}  // namespace

TEST_CASE("the hole as it was cut is found from paces, becomes today's of every verb, and is told in paces again") {
    const Scratch scratch;
    const std::string green = plane_green(scratch, 0.015).string();
    const std::vector<std::string> cut{"cut", green, "--at", "7 on, 4 left; speed 9.5; by JM; scar", "--date", "2026-05-02", "--json"};
    const Outcome without = run_brae(cut);
    CHECK(without.code == 1);
    CHECK(holds(without.error, "set it with brae line"));
    CHECK(run_brae({"putt", green, "--ball", "6,3", "--json"}).code == 2);   // no hole yet

    REQUIRE(run_brae({"line", green, "--bearing", "0"}).code == 0);
    const Outcome done = run_brae(cut);
    REQUIRE_MESSAGE(done.code == 0, done.error);
    const auto entry = done.json()["entries"][0];
    // The survey runs from 0 to 12 m, so that 7 on and 4 left lie there; the boundary of its data is good to a cell.
    CHECK(std::abs(entry["x"].get<double>() - 4 * kPaceM) < 0.3);
    CHECK(std::abs(entry["y"].get<double>() - 7 * kPaceM) < 0.3);
    CHECK(entry["on_paces"] == 7.0);
    CHECK(entry["side_paces"] == 4.0);
    CHECK(entry["side"] == "left");
    CHECK(done.json()["kept"] == 1);

    // The speed that was told with it and the hole itself hold for reads.
    const Outcome putt = run_brae({"putt", green, "--ball", "6,3", "--json"});
    REQUIRE_MESSAGE(putt.code == 0, putt.error);
    const auto line = run_brae({"line", green, "--json"}).json();
    CHECK(line["place"]["on_paces"] == 7.0);
    CHECK(line["bearing_deg"] == 0.0);

    // The other way round the same place.
    REQUIRE(run_brae({"line", green, "--point", "6,40", "--point", "6,14", "--json"}).json()["bearing_deg"] == 180.0);
    const auto turned = run_brae({"line", green, "--json"}).json();
    CHECK(turned["place"]["side"] == "right");
    CHECK(turned["place"]["on_m"].get<double>() == doctest::Approx(line["place"]["behind_m"].get<double>()).epsilon(1e-6));

    const auto shown = run_brae({"cut", green, "--date", "2026-05-04", "--json"}).json()["greens"][0];
    REQUIRE(shown["history"].size() == 1);
    CHECK(shown["history"][0]["until"] == "2026-05-04");
    CHECK(shown["history"][0]["speed_ft"] == 9.5);
    CHECK(shown["history"][0]["remark"] == "scar");
}

TEST_CASE("dates backwards, paces off the green and a history of another green are refused and nothing is lost") {
    const Scratch scratch;
    const fs::path folder = course(scratch);
    const std::string green = (folder / "7.gpkg").string();
    REQUIRE(run_brae({"cut", green, "--at", "7 on, 4 left", "--date", "2026-05-02"}).code == 0);
    const std::string before = whole_file(green);
    const auto refused = [&](std::vector<std::string> words, int code, const std::string& part) {
        words.insert(words.begin(), {"cut", green});
        const Outcome o = run_brae(words);
        CHECK(o.code == code);
        CHECK_MESSAGE(holds(o.error, part), o.error);
        CHECK(whole_file(green) == before);
    };
    refused({"--at", "6 on, 4 left", "--date", "2026-05-01"}, 1, "2026-05-01 lies before it");
    refused({"--at", "60 on, 4 left", "--date", "2026-05-03"}, 1, "paces deep along its line of play");
    refused({"--at", "6 on, 40 left", "--date", "2026-05-03"}, 1, "from its left edge");
    refused({"--at", "60,4", "--date", "2026-05-03"}, 1, "outside the green");
    refused({"--at", "somewhere", "--date", "2026-05-03"}, 2, "found 'somewhere'");
    refused({"--at", "6 on, 4 left", "--date", "2 May"}, 2, "--date is '2 May'");
    refused({"--at", "6 on, 4 left", "--date", "2026-05-03", "--speed", "40"}, 1, "4 to 16 ft");
    refused({"--by", "JM"}, 2, "--at: nothing found");
    refused({"--at", "6 on, 4 left", "--date", "2026-05-03", "--dry"}, 0, "");

    // The day of these tests is 2027-01-15 (tests/support/process.h).
    refused({"--at", "6 on, 4 left", "--date", "2027-01-16"}, 1, "2027-01-16 lies ahead of today, 2027-01-15");
    refused({"--at", "6 on, 4 left", "--date", "2027-01-16", "--planned", "--earlier"}, 2, "--planned and --earlier");
    refused({"--force"}, 2, "--force belongs to --history");

    const std::string csv = (scratch / "h.csv").string(), other = (folder / "8.gpkg").string();
    REQUIRE(run_brae({"cut", green, "--out", csv}).code == 0);
    const Outcome foreign = run_brae({"cut", other, "--history", csv});
    CHECK(foreign.code == 1);
    CHECK(holds(foreign.error, "belongs to another green"));
    CHECK(run_brae({"cut", green, "--history", csv}).code == 0);
    std::string headless = whole_file(csv);
    headless.erase(0, headless.find('\n') + 1);
    write_file(csv, headless);
    const Outcome whose = run_brae({"cut", other, "--history", csv});
    CHECK(whose.code == 1);
    CHECK(holds(whose.error, "does not say whose it is"));
    CHECK(run_brae({"cut", other, "--history", csv, "--force"}).code == 0);
    // Told late on purpose, it leaves today's hole where it is.
    REQUIRE(run_brae({"cut", green, "--at", "5 on, 3 right", "--date", "2026-05-01", "--earlier"}).code == 0);
    CHECK(run_brae({"line", green, "--json"}).json()["place"]["on_paces"] == 7.0);
}

TEST_CASE("a whole course is told in one file: every line is tried before any is kept, and frost holds for all") {
    const Scratch scratch;
    const fs::path folder = course(scratch), typed = scratch / "tuesday.txt";
    write_file(typed, "date: 2026-05-02\nby: JM\n7: 7 on, 4 left\n8: 5 on, 33 left\nPractice: 6,6; speed 9\n9: 3 on, 3 left\n");
    Outcome o = run_brae({"cut", folder.string(), "--file", typed.string()});
    CHECK(o.code == 1);
    CHECK(holds(o.error, "line 4"));
    CHECK(holds(o.error, "line 6: there is no green '9'; the greens are 7, 8, practice"));
    CHECK(holds(o.error, "nothing was kept"));
    CHECK_FALSE(run_brae({"line", (folder / "7.gpkg").string(), "--json"}).json().contains("place"));

    write_file(typed, "date: 2026-05-02\nby: JM\n7: 7 on, 4 left\n8: 5 on, 3 left\nPractice: 6,6; speed 9\n");
    o = run_brae({"cut", folder.string(), "--file", typed.string(), "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(o.json()["kept"] == 3);
    CHECK(o.json()["entries"][2]["x"] == 6.0);
    CHECK(run_brae({"line", (folder / "8.gpkg").string(), "--json"}).json()["place"]["on_paces"] == 5.0);

    o = run_brae({"cut", folder.string(), "--at", "skipped frost", "--date", "2026-05-03", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(o.json()["kept"] == 3);
    const auto shown = run_brae({"cut", folder.string(), "--date", "2026-05-03", "--json"}).json()["greens"];
    for (const auto& green : shown) {
        REQUIRE(green["history"].size() == 1);
        CHECK(green["history"][0]["until"] == "2026-05-03");
        CHECK(green["history"][0]["skipped"][0]["reason"] == "frost");
    }
    CHECK(run_brae({"cut", folder.string(), "--at", "5 on, 3 left"}).code == 2);
}

TEST_CASE("a hole that breaks a limit is kept and told which, and so is what was understood of the side") {
    const Scratch scratch;
    const std::string green = plane_green(scratch, 0.015).string();
    REQUIRE(run_brae({"line", green, "--bearing", "0"}).code == 0);
    // 12 m are 13 paces: 11 from the left are 2 from the right, under the 4 that are wanted.
    const Outcome o = run_brae({"cut", green, "--at", "7 on, 11 left; speed 10", "--date", "2026-05-02", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    const auto entry = o.json()["entries"][0];
    CHECK(entry["side"] == "right");
    CHECK(holds(entry["understood"], "understood as 11 paces from the left edge; the right one is nearer"));
    CHECK(entry["fair"] == false);
    REQUIRE_FALSE(entry["fails"].empty());
    CHECK(entry["fails"][0]["name"] == "edge");
    CHECK(holds(entry["remarks"].dump(), "fails on edge: "));
    CHECK(o.json()["kept"] == 1);

    // By the club's own limits it is good; near to yesterday's it is told.
    write_file(scratch / "club.json", R"({"edge_paces": 1})");
    const auto near = run_brae({"cut", green, "--at", "7 on, 9 left", "--date", "2026-05-03", "--limits", (scratch / "club.json").string(), "--json"}).json()["entries"][0];
    CHECK(near["fair"] == true);
    CHECK(holds(near["remarks"].dump(), "m from the hole of 2026-05-02; 3.0 m from those of the last 7 days are wanted"));
}

TEST_CASE("a hole set by hand for a day ahead and a day that will be skipped leave today's hole") {
    const Scratch scratch;
    const std::string green = plane_green(scratch, 0.015).string();
    REQUIRE(run_brae({"cut", green, "--at", "6,6; speed 9", "--date", "2027-01-15"}).code == 0);
    REQUIRE(run_brae({"cut", green, "--at", "8,6", "--date", "2027-01-17", "--planned", "--by", "AB"}).code == 0);
    REQUIRE(run_brae({"cut", green, "--at", "skipped machines", "--date", "2027-01-18", "--planned"}).code == 0);
    const auto shown = run_brae({"cut", green, "--json"}).json()["greens"][0];
    REQUIRE(shown["history"].size() == 1);
    CHECK(shown["history"][0]["x"] == 6.0);
    REQUIRE(shown["ahead"].size() == 2);
    CHECK(shown["ahead"][0]["state"] == "by hand");
    CHECK(shown["ahead"][0]["set_by"] == "AB");
    CHECK(shown["ahead"][1]["reason"] == "machines");
    CHECK(run_brae({"putt", green, "--ball", "6,3", "--json"}).code == 0);
    // A hole that is cut before the skipped day is no step back; it is too near to the one set for two days later, which is said.
    const auto near = run_brae({"cut", green, "--at", "7,7", "--date", "2027-01-15"});
    CHECK(near.code == 0);
    CHECK(near.out.find("1.4 m from the hole set by hand for 2027-01-17") != std::string::npos);
}
