// brae reads: the map of every ball spot from the command line.
#include "tests/support/process.h"

#include <fmt/format.h>

using namespace brae::test;

TEST_CASE("brae reads writes a band a quantity and agrees with itself about how many spots there are") {
    const Scratch scratch;
    std::string text;
    for (int j = 0; j <= 40; ++j)
        for (int i = 0; i <= 40; ++i) text += fmt::format("{:.3f} {:.3f} {:.6f}\n", 0.3 * i, 0.3 * j, 0.02 * 0.3 * j);
    write_file(scratch / "plane.xyz", text);
    const std::string green = (scratch / "plane.gpkg").string(), map = (scratch / "reads.tif").string();
    REQUIRE(run_brae({"survey", (scratch / "plane.xyz").string(), "--out", green, "--json"}).code == 0);

    Outcome o = run_brae({"reads", green, "--hole", "6,6", "--speed", "10", "--past", "0.3", "--out", map, "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    const auto j = o.json();
    const auto spots = j["spots"].get<double>();
    CHECK(spots == doctest::Approx(12.0 * 12.0 / 0.0625).epsilon(0.05));
    CHECK(j["solved"].get<double>() > 0.98 * spots);
    CHECK(j["solved"].get<double>() <= spots);
    CHECK(j["seconds"].get<double>() > 0);
    CHECK(fs::file_size(map) > 10000);

    // A wider spacing, in words.
    o = run_brae({"reads", green, "--hole", "6,6", "--speed", "10", "--spacing", "1", "--out", map});
    CHECK(o.code == 0);
    CHECK(o.out.find("ball spots") != std::string::npos);

    // With errors, three more bands and how many spots have them.
    const auto plain = fs::file_size(map);
    o = run_brae({"reads", green, "--hole", "6,6", "--speed", "10", "--spacing", "1", "--out", map, "--errors", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(o.json()["errors"]["spots"].get<double>() > 0.95 * o.json()["solved"].get<double>());
    CHECK(fs::file_size(map) > plain);

    // Help lists the bands; wrong use is refused and leaves no file.
    o = run_brae({"reads", "--help"});
    CHECK(o.code == 0);
    for (const char* band : {"aim offset", "break", "launch speed", "start bearing", "entry bearing", "time to the hole", "number of solutions", "--errors", "8 by the survey", "9 by green speed", "10 both"})
        CHECK_MESSAGE(o.out.find(band) != std::string::npos, band);
    const std::string none = (scratch / "none.tif").string();
    CHECK(run_brae({"reads", green, "--hole", "60,6", "--speed", "10", "--out", none}).code == 2);
    CHECK(run_brae({"reads", green, "--hole", "6,6", "--speed", "30", "--out", none}).code == 2);
    CHECK(run_brae({"reads", green, "--hole", "6,6", "--speed", "10", "--past", "-1", "--out", none}).code == 2);
    CHECK(run_brae({"reads", green, "--hole", "6,6", "--speed", "10", "--spacing", "0.001", "--out", none}).code == 2);
    CHECK_FALSE(fs::exists(none));
}
