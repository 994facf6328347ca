// A folder of surveys in one call.
#include "tests/support/process.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

using namespace brae::test;

namespace {

std::string plane(double slope) {
    std::string text;
    for (int j = 0; j < 40; ++j)
        for (int i = 0; i < 40; ++i) text += fmt::format("{} {} {:.5f}\n", 0.5 * i, 0.5 * j, slope * 0.5 * i);
    return text;
}

}  // namespace

TEST_CASE("a folder of surveys makes a green of each, one failure stops no other, and the summary tells all") {
    const Scratch scratch;
    fs::create_directories(scratch / "in/07 seventh");
    write_file(scratch / "in/01.xyz", plane(0.02));
    write_file(scratch / "in/02.xyz", "no numbers here\n");
    write_file(scratch / "in/03.csv", plane(0.03));
    write_file(scratch / "in/notes.docx", std::string("PK\x03\x04\0\0 pictures", 15));
    write_file(scratch / "in/07 seventh/scan.xyz", plane(0.01));
    const Outcome o = run_brae({"survey", (scratch / "in").string(), "--out", (scratch / "out").string(), "--json"});
    CHECK(o.code == 1);
    const auto said = nlohmann::json::parse(o.out);
    CHECK(said["done"] == 3);
    CHECK(said["failed"] == 1);
    REQUIRE(said["greens"].size() == 4);
    CHECK(said["greens"][0]["slope_median_pct"].get<double>() == doctest::Approx(2).epsilon(0.01));
    CHECK(said["greens"][1]["error"].get<std::string>().find("02.xyz") != std::string::npos);
    CHECK(said["greens"][2]["slope_median_pct"].get<double>() == doctest::Approx(3).epsilon(0.01));
    CHECK(said["greens"][3]["name"] == "07 seventh");
    CHECK(fs::exists(scratch / "out/07 seventh.gpkg"));
    CHECK_FALSE(fs::exists(scratch / "out/02.gpkg"));
    CHECK(std::distance(fs::directory_iterator(scratch / "out"), fs::directory_iterator()) == 3);
    // To people, the same in a line each.
    const Outcome words = run_brae({"survey", (scratch / "in").string(), "--out", (scratch / "out").string()});
    CHECK(words.code == 1);
    CHECK(words.out.find("3 of 4 greens written") != std::string::npos);
}

TEST_CASE("a folder without a survey, and options that belong to one green, are refused") {
    const Scratch scratch;
    fs::create_directories(scratch / "in");
    const std::string in = (scratch / "in").string(), out = (scratch / "out").string();
    CHECK(run_brae({"survey", in, "--out", out}).error.find("holds no survey") != std::string::npos);
    write_file(scratch / "in/01.xyz", plane(0.02));
    CHECK(run_brae({"survey", in, "--out", out, "--name", "x"}).code == 2);
    CHECK(run_brae({"survey", in, "--out", (scratch / "x.gpkg").string()}).code == 2);
    CHECK_FALSE(fs::exists(scratch / "out"));
}
