// A green that is surveyed again.
#include "tests/support/process.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

using namespace brae::test;

namespace {

std::string plane(double slope, double east) {
    std::string text;
    for (int j = 0; j < 40; ++j)
        for (int i = 0; i < 40; ++i) text += fmt::format("{:.2f} {:.2f} {:.5f}\n", east + 0.5 * i, 300000 + 0.5 * j, 20 + slope * 0.5 * i);
    return text;
}

}  // namespace

TEST_CASE("brae survey on a green file renews the ground in its old frame and keeps the rest; --replace starts anew") {
    const Scratch scratch;
    const std::string green = (scratch / "g.gpkg").string();
    write_file(scratch / "a.xyz", plane(0.02, 200000));
    write_file(scratch / "b.xyz", plane(0.03, 200000.75));   // its south-west corner would floor to another origin one day
    write_file(scratch / "far.xyz", plane(0.03, 260000));
    REQUIRE(run_brae({"survey", (scratch / "a.xyz").string(), "--out", green, "--name", "fourth"}).code == 0);
    REQUIRE(run_brae({"speed", green, "--ramp", "9.0,9.2,9.4", "--back", "9.6,9.8,10.0", "--store"}).code == 0);
    REQUIRE(run_brae({"stations", green, "--hole", "10,10", "--lesson", "fall-line", "--store"}).code == 0);

    const Outcome again = run_brae({"survey", (scratch / "b.xyz").string(), "--out", green, "--json"});
    REQUIRE(again.code == 0);
    const auto said = nlohmann::json::parse(again.out);
    CHECK(said["renewed"] == true);
    CHECK(said["name"] == "fourth");
    CHECK(said["surface_revision"] == 2);
    CHECK(said["slope_median_pct"].get<double>() == doctest::Approx(3).epsilon(0.01));
    CHECK(said["origin_map"][0] == 200000);
    // The reading still serves, and the kept stations say that the surface is another.
    const auto putt = nlohmann::json::parse(run_brae({"putt", green, "--ball", "5,5", "--hole", "10,10", "--json"}).out);
    CHECK(putt["speed_ft"].get<double>() == doctest::Approx(9.5));
    const Outcome sheet = run_brae({"sheet", green, "--kind", "stations", "--out", (scratch / "s.pdf").string()});
    CHECK(sheet.code == 0);
    CHECK(sheet.error.find("surface") != std::string::npos);

    // Another green's survey does not go in by mistake.
    const Outcome far = run_brae({"survey", (scratch / "far.xyz").string(), "--out", green});
    CHECK(far.code == 1);
    CHECK(far.error.find("another") != std::string::npos);
    const auto anew = nlohmann::json::parse(run_brae({"survey", (scratch / "far.xyz").string(), "--out", green, "--replace", "--json"}).out);
    CHECK(anew["renewed"] == false);
    CHECK(anew["surface_revision"] == 1);
}

TEST_CASE("a green takes another edge from a file by reading its survey again, keeps it when a later survey brings none, and says what check points say") {
    const Scratch scratch;
    const std::string green = (scratch / "g.gpkg").string();
    const auto square = [](double low, double high) {
        return fmt::format(R"({{"type":"Polygon","coordinates":[[[{0},{0}],[{1},{0}],[{1},{1}],[{0},{1}],[{0},{0}]]]}})", low, high);
    };
    // Dense points on a plane of 2 %, and nine levels of another instrument, 4 mm higher than it.
    std::string cloud, levels = "name,x,y,z\n";
    for (int j = 0; j < 100; ++j)
        for (int i = 0; i < 100; ++i) cloud += fmt::format("{:.2f} {:.2f} {:.5f}\n", 0.2 * i, 0.2 * j, 20 + 0.02 * 0.2 * i + 0.002 * ((i * 7 + j * 13) % 5 - 2));
    for (int k = 0; k < 9; ++k) levels += fmt::format("{},{},{},{:.4f}\n", k + 1, 7 + 3 * (k % 3), 7 + 3 * (k / 3), 20.004 + 0.02 * (7 + 3 * (k % 3)));
    write_file(scratch / "cloud.xyz", cloud);
    write_file(scratch / "levels.csv", levels);
    write_file(scratch / "small.geojson", square(5, 15));
    write_file(scratch / "large.geojson", square(1, 19));
    Outcome o = run_brae({"survey", (scratch / "cloud.xyz").string(), (scratch / "levels.csv").string(), "--units", "m", "--outline", (scratch / "small.geojson").string(),
                          "--out", green, "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    auto said = o.json();
    CHECK(said["area_m2"].get<double>() == doctest::Approx(100));
    const auto check = said["quality"]["check_points"];
    CHECK(check["count"] == 9);
    CHECK(check["mean_m"].get<double>() == doctest::Approx(-0.004).epsilon(0.2));
    CHECK(check["domed"] == false);

    o = run_brae({"survey", green, "--outline", (scratch / "large.geojson").string(), "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    said = o.json();
    CHECK(said["area_m2"].get<double>() == doctest::Approx(324));
    CHECK(said["surface_revision"] == 2);
    CHECK(said["outline"] == "file");
    CHECK(said["quality"]["check_points"]["count"] == 9);

    // Points alone, of another day.
    write_file(scratch / "later.xyz", cloud);
    o = run_brae({"survey", (scratch / "later.xyz").string(), "--units", "m", "--out", green, "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    said = o.json();
    CHECK(said["area_m2"].get<double>() == doctest::Approx(324));
    CHECK(said["outline"] == "file");
    CHECK(said["warnings"].dump().find("the edge that the green had, from a file, stays") != std::string::npos);
    CHECK(said["quality"]["check_points"]["count"] == 0);
    CHECK(said["quality"]["check_points"]["mean_m"].is_null());
    // A file without an edge changes nothing.
    const std::string before = whole_file(green);
    CHECK(run_brae({"survey", green, "--outline", (scratch / "none.geojson").string()}).code == 1);
    CHECK(whole_file(green) == before);
}
