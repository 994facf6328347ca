// Wrong files: one sentence that names the file, the right exit code, and nothing half-written.
#include "tests/support/process.h"

#include <algorithm>
#include <fmt/format.h>

using namespace brae::test;

namespace {

std::string good_plane() {
    std::string text;
    for (int j = 0; j < 30; ++j)
        for (int i = 0; i < 30; ++i) text += fmt::format("{} {} {:.4f}\n", 0.5 * i, 0.5 * j, 0.01 * i);
    return text;
}

// Surveys `text` under `name` and expects a refusal that mentions `word`.
void expect_refusal(const std::string& name, const std::string& text, const std::string& word) {
    CAPTURE(name);
    CAPTURE(word);
    const Scratch scratch;
    write_file(scratch / name, text);
    const std::string out = (scratch / "green.gpkg").string();
    const Outcome o = run_brae({"survey", (scratch / name).string(), "--out", out});
    CHECK_MESSAGE((o.code == 1 || o.code == 2), o.code << o.error);
    CHECK_MESSAGE(o.error.find(word) != std::string::npos, o.error);
    CHECK_MESSAGE(o.error.find(name) != std::string::npos, o.error);
    CHECK_MESSAGE(std::count(o.error.begin(), o.error.end(), '\n') == 1, o.error);
    CHECK(o.out.empty());
    for (const auto& e : fs::directory_iterator(scratch.path())) CHECK_MESSAGE(e.path().filename() == name, e.path());
}

}  // namespace

TEST_CASE("files that are no surveys are refused by name") {
    expect_refusal("empty.xyz", "", "empty");
    expect_refusal("words.xyz", good_plane() + "1 2 three\n", "901");
    expect_refusal("columns.xyz", good_plane() + "1 2\n", "901");
    expect_refusal("nan.xyz", good_plane() + "1 2 nan\n", "901");
    expect_refusal("few.xyz", "0 0 1\n1 0 1\n0 1 1\n", "3");
    expect_refusal("short.ply", "ply\nformat ascii 1.0\nelement vertex 100\nproperty float x\nproperty float y\nproperty float z\nend_header\n0 0 0\n", "100");
    expect_refusal("notes.docx", "PK\x03\x04 something", "notes.docx");
    expect_refusal("scan.laz", "LASF", "LAZ");
}

TEST_CASE("a missing file is named, with code 1") {
    const Scratch scratch;
    const Outcome o = run_brae({"survey", "/nonexistent/scan.ply", "--out", (scratch / "g.gpkg").string()});
    CHECK(o.code == 1);
    CHECK(o.error.find("/nonexistent/scan.ply") != std::string::npos);
    CHECK(run_brae({"putt", "/nonexistent/g.gpkg", "--ball", "1,1", "--hole", "2,2", "--speed", "10"}).code == 1);
}

TEST_CASE("a survey that is not a surface is refused: two storeys, heights in another unit") {
    std::string storeys, feet;
    for (int j = 0; j < 60; ++j)
        for (int i = 0; i < 60; ++i) {
            storeys += fmt::format("{} {} {}\n", 0.25 * i, 0.25 * j, (i * 7 + j * 13) % 2 ? 0.0 : 1.5);
            feet += fmt::format("{} {} {}\n", 0.25 * i, 0.25 * j, 1000 * 0.02 * 0.25 * i);
        }
    expect_refusal("storeys.xyz", storeys, "surface");
    expect_refusal("millimetres.xyz", feet, "unit");
}

TEST_CASE("--out never harms an existing file when the work fails") {
    const Scratch scratch;
    write_file(scratch / "plane.xyz", good_plane());
    write_file(scratch / "bad.xyz", "hello\n");
    const std::string out = (scratch / "green.gpkg").string();
    REQUIRE(run_brae({"survey", (scratch / "plane.xyz").string(), "--out", out}).code == 0);
    const std::string before = whole_file(out);
    CHECK(run_brae({"survey", (scratch / "bad.xyz").string(), "--out", out}).code == 1);
    CHECK(whole_file(out) == before);
    CHECK(run_brae({"sheet", out, "--kind", "stations", "--hole", "7,7", "--speed", "40", "--out", (scratch / "s.pdf").string()}).code == 2);
    CHECK_FALSE(fs::exists(scratch / "s.pdf"));

    // Another kind of file is never replaced by a green, nor is an input.
    write_file(scratch / "diary.gpkg", "dear diary");
    CHECK(run_brae({"survey", (scratch / "plane.xyz").string(), "--out", (scratch / "diary.gpkg").string()}).code == 2);
    CHECK(whole_file(scratch / "diary.gpkg") == "dear diary");
    CHECK(run_brae({"survey", (scratch / "plane.xyz").string(), "--out", (scratch / "plane.xyz").string()}).code == 2);
    CHECK(run_brae({"survey", (scratch / "plane.xyz").string(), "--out", (scratch / "none/green.gpkg").string()}).code == 1);
}

TEST_CASE("a damaged green file is refused, not crashed on") {
    const Scratch scratch;
    write_file(scratch / "plane.xyz", good_plane());
    const fs::path good = scratch / "green.gpkg";
    REQUIRE(run_brae({"survey", (scratch / "plane.xyz").string(), "--out", good.string()}).code == 0);
    const std::string whole = whole_file(good);
    for (double part : {0.01, 0.3, 0.7, 0.95}) {
        write_file(scratch / "cut.gpkg", whole.substr(0, static_cast<std::size_t>(part * static_cast<double>(whole.size()))));
        const Outcome o = run_brae({"slope", (scratch / "cut.gpkg").string(), "--json"});
        CHECK(o.code == 1);
        CHECK(o.json().contains("error"));
    }
}

TEST_CASE("holes in the data stay holes: no putt over them") {
    std::string text;
    for (int j = 0; j < 80; ++j)
        for (int i = 0; i < 80; ++i)
            if (std::hypot(0.25 * i - 10, 0.25 * j - 10) > 4) text += fmt::format("{} {} {:.4f}\n", 0.25 * i, 0.25 * j, 0.005 * i);
    const Scratch scratch;
    write_file(scratch / "gap.xyz", text);
    const std::string out = (scratch / "gap.gpkg").string();
    const Outcome survey = run_brae({"survey", (scratch / "gap.xyz").string(), "--out", out, "--json"});
    REQUIRE_MESSAGE(survey.code == 0, survey.error);
    CHECK_FALSE(survey.json()["warnings"].empty());
    const Outcome into = run_brae({"putt", out, "--ball", "10,3", "--hole", "10,10", "--speed", "10"});
    CHECK(into.code == 2);
    const Outcome over = run_brae({"putt", out, "--ball", "10,4.5", "--hole", "10,15.5", "--speed", "10"});
    CHECK(over.code == 1);
    const Outcome rolled = run_brae({"roll", out, "--ball", "10,4.5", "--toward", "0", "--launch", "3", "--speed", "10", "--json"});
    CHECK(rolled.json()["end"] == "left-green");
}

TEST_CASE("results never go over an input or a file of another kind") {
    const Scratch scratch;
    write_file(scratch / "plane.xyz", good_plane());
    const std::string green = (scratch / "green.gpkg").string();
    REQUIRE(run_brae({"survey", (scratch / "plane.xyz").string(), "--out", green}).code == 0);
    const std::string before = whole_file(green);
    CHECK(run_brae({"picture", green, "--out", green, "--size", "300x200"}).code == 2);
    CHECK(run_brae({"sheet", green, "--kind", "holes", "--speed", "10", "--out", green}).code == 2);
    CHECK(whole_file(green) == before);

    // A folder of maps whose slope.tif is the survey itself.
    REQUIRE(run_brae({"slope", green, "--out", (scratch / "maps").string()}).code == 0);
    const std::string raster = whole_file(scratch / "maps/slope.tif");
    CHECK(run_brae({"slope", (scratch / "maps/slope.tif").string(), "--out", (scratch / "maps").string()}).code != 0);
    CHECK(whole_file(scratch / "maps/slope.tif") == raster);
}

TEST_CASE("a green that holds people's work keeps it when it is surveyed again, and is replaced only when told to") {
    const Scratch scratch;
    write_file(scratch / "plane.xyz", good_plane());
    const std::string plane = (scratch / "plane.xyz").string(), green = (scratch / "green.gpkg").string();
    REQUIRE(run_brae({"survey", plane, "--out", green}).code == 0);
    const Outcome kept = run_brae({"stations", green, "--hole", "7,7", "--speed", "10", "--lesson", "fall-line", "--store"});
    REQUIRE_MESSAGE(kept.code == 0, kept.error);
    const Outcome renewed = run_brae({"survey", plane, "--out", green});
    CHECK(renewed.code == 0);
    CHECK(renewed.out.find("kept") != std::string::npos);
    CHECK(run_brae({"survey", plane, "--out", green, "--replace"}).code == 0);
}

TEST_CASE("reads never write over their green, nor under another ending, and nan is no number for any option") {
    const Scratch scratch;
    write_file(scratch / "plane.xyz", good_plane());
    const std::string plane = (scratch / "plane.xyz").string(), green = (scratch / "green.gpkg").string();
    REQUIRE(run_brae({"survey", plane, "--out", green}).code == 0);
    const std::string before = whole_file(green);
    for (const std::string& out : {green, (scratch / "r.png").string(), (scratch / "r").string()})
        CHECK(run_brae({"reads", green, "--hole", "7,7", "--speed", "10", "--out", out}).code == 2);
    CHECK(whole_file(green) == before);
    for (const std::vector<std::string>& words :
         {std::vector<std::string>{"putt", green, "--ball", "5,5", "--hole", "7,7", "--speed", "10", "--pace-error", "nan"},
          {"export", green, "--out", (scratch / "x.tif").string(), "--spacing", "nan"},
          {"picture", green, "--out", (scratch / "x.png").string(), "--exaggeration", "nan"}}) {
        const Outcome o = run_brae(words);
        CHECK(o.code == 2);
        CHECK_MESSAGE(o.error.find("number is wanted") != std::string::npos, o.error);
    }
}

TEST_CASE("bytes that are not UTF-8 do no harm to JSON") {
    const Outcome o = run_brae({"slope", "bad\xff.ply", "--json"});
    CHECK(o.code == 1);
    CHECK(o.json().contains("error"));
}

TEST_CASE("a picture of the window never takes the place of the green") {
    const Scratch scratch;
    const std::string green = (scratch / "g.gpkg").string();
    std::ofstream(green) << "something";
    for (const std::string& out : {green, (scratch / "x.txt").string()}) {
        const Outcome o = run_brae({green, "--frames", "3", "--screenshot", out});
        CHECK(o.code == 2);
        CHECK(o.error.find("--screenshot") != std::string::npos);
    }
    CHECK(fs::file_size(green) == 9);
}

TEST_CASE("a verb without its green, and absurd numbers, are wrong use") {
    CHECK(run_brae({"stations"}).code == 2);
    CHECK(run_brae({"stations", "--lesson", "list"}).code == 0);
    const Scratch scratch;
    write_file(scratch / "plane.xyz", good_plane());
    const std::string plane = (scratch / "plane.xyz").string();
    CHECK(run_brae({"picture", plane, "--out", (scratch / "p.png").string(), "--speed", "99"}).code == 2);
    const Outcome far = run_brae({"roll", plane, "--ball", "1e300,10", "--toward", "0", "--launch", "1", "--speed", "10"});
    CHECK(far.code == 2);
    // Warnings about the survey come first; the number itself is not spelt out.
    CHECK(far.error.size() < 600);
    CHECK(far.error.find("00000000") == std::string::npos);
    CHECK(run_brae({"roll", plane, "--ball", " +7, 7", "--toward", "0", "--launch", "1", "--speed", "10"}).code == 0);
}
