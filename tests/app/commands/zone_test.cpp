// brae zone: closed ground and guards of the edge, told, added, changed and taken away, and what the other verbs make of them.
#include "tests/support/plane_green.h"
#include "tests/support/refusal.h"

#include <cmath>
#include <fstream>

using namespace brae::test;

TEST_CASE("a zone is added, changed and taken away, and holes keep off it until its day") {
    const Scratch scratch;
    const std::string green = plane_green(scratch, 0.015).string();
    CHECK(holds(run_brae({"zone", green}).out, "no zones"));
    // Nearly the whole of the 12 m square.
    const std::vector<std::string> corners{"--point", "0.1,0.1", "--point", "11.9,0.1", "--point", "11.9,11.9", "--point", "0.1,11.9"};
    std::vector<std::string> add{"zone", green, "--name", "turf", "--kind", "closed", "--until", "2026-05-20", "--json"};
    add.insert(add.end(), corners.begin(), corners.end());
    const Outcome made = run_brae(add);
    REQUIRE_MESSAGE(made.code == 0, made.error);
    const auto zone = made.json()["zones"][0];
    CHECK(zone["name"] == "turf");
    CHECK(zone["until"] == "2026-05-20");
    CHECK(zone["area_m2"].get<double>() == doctest::Approx(11.8 * 11.8));
    CHECK(zone["ring"].size() == 4);
    // No place on the day before, and the zone is named; from its day on there are some.
    const auto before = run_brae({"holes", green, "--speed", "9", "--spacing", "1", "--from", "2026-05-19", "--json"}).json();
    CHECK(before["positions"].empty());
    CHECK_MESSAGE(holds(before["why_none"].get<std::string>(), "turf"), before["why_none"]);
    CHECK_FALSE(run_brae({"holes", green, "--speed", "9", "--spacing", "1", "--from", "2026-05-20", "--json"}).json()["positions"].empty());
    // Its day alone is changed; kind and ring stay.
    REQUIRE(run_brae({"zone", green, "--name", "turf", "--until", "2026-05-10"}).code == 0);
    const auto changed = run_brae({"zone", green, "--json"}).json()["zones"];
    REQUIRE(changed.size() == 1);
    CHECK(changed[0]["until"] == "2026-05-10");
    CHECK(changed[0]["ring"] == zone["ring"]);
    // A ring from a file, beside the green.
    std::ofstream(scratch / "bunker.geojson") << R"({"type":"Polygon","coordinates":[[[13,2],[16,2],[16,6],[13,6],[13,2]]]})";
    REQUIRE(run_brae({"zone", green, "--name", "right", "--kind", "bunker", "--file", (scratch / "bunker.geojson").string()}).code == 0);
    const std::string told = run_brae({"zone", green}).out;
    CHECK_MESSAGE(holds(told, "bunker 'right', 12.0 m2. It guards the edge"), told);
    CHECK(holds(told, "zone 'turf' (closed, until 2026-05-10)"));
    REQUIRE(run_brae({"zone", green, "--take-away", "turf"}).code == 0);
    CHECK(run_brae({"zone", green, "--json"}).json()["zones"].size() == 1);
}

TEST_CASE("a zone that cannot be is refused in one sentence, and the green stays as it was") {
    const Scratch scratch;
    const std::string green = plane_green(scratch, 0.015).string();
    const std::vector<std::string> ring{"--point", "2,2", "--point", "4,2", "--point", "3,4"};
    const auto with = [&](std::vector<std::string> more) {
        more.insert(more.begin(), {"zone", green});
        more.insert(more.end(), ring.begin(), ring.end());
        return more;
    };
    refused(with({"--kind", "worn"}), 2, "--name: nothing found");
    refused(with({"--name", "a"}), 2, "--kind: nothing found");
    refused(with({"--name", "a", "--kind", "lawn"}), 2, "one of no hole, worn, closed, bunker, water, bank is wanted");
    refused(with({"--name", "a", "--kind", "worn", "--until", "2026-02-30"}), 1, "no day of the calendar");
    refused(with({"--name", "a", "--kind", "water", "--until", "2026-05-02"}), 2, "found 2026-05-02 of a water, which stays");
    refused({"zone", green, "--name", "a", "--kind", "worn"}, 2, "three corners or more");
    refused({"zone", green, "--name", "a", "--kind", "worn", "--point", "1,1", "--point", "2,2"}, 1, "has 2 corners");
    refused({"zone", green, "--name", "a", "--kind", "worn", "--point", "1,1", "--point", "x", "--point", "2,2"}, 2, "--point");
    refused({"zone", green, "--name", "a"}, 2, "found alone");
    refused({"zone", green, "--take-away", "b"}, 2, "a green with zones is wanted");
    refused({"zone", green, "--name", "a", "--kind", "worn", "--file", (scratch / "none.geojson").string()}, 1, "none.geojson");
    const fs::path survey = fs::path(green).replace_extension(".xyz");
    std::vector<std::string> raw{"zone", survey.string(), "--name", "a", "--kind", "worn"};
    raw.insert(raw.end(), ring.begin(), ring.end());
    const Outcome unsaved = run_brae(raw);   // what is to be known of the survey is told before
    CHECK(unsaved.code == 2);
    CHECK(holds(unsaved.error, "is a survey, not a green file"));
    CHECK(run_brae({"zone", green, "--json"}).json()["zones"].empty());
}
