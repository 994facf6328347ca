// brae speed: the speed of the day from a ramp and from rolled balls, and what other verbs make of it.
#include "tests/support/plane_green.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

using namespace brae::test;

namespace {

fs::path plane(const Scratch& scratch) { return plane_green(scratch, 0.015); }

// Lines of rolls that the program rolls itself at 9.4 ft, from a ramp, in four directions; each rests `off` m further.
std::string rolls(const std::string& green, double off = 0) {
    std::string text;
    for (int k = 0; k < 4; ++k) {
        const double bearing = 20 + 90 * k;
        const auto j = run_brae({"roll", green, "--ball", "6,6", "--toward", fmt::format("{}", bearing), "--launch", "1.8288", "--speed", "9.4", "--json"}).json();
        const double x = j["stop"][0].get<double>(), y = j["stop"][1].get<double>(), d = std::hypot(x - 6, y - 6);
        text += fmt::format("6,6,{},{:.6f},{:.6f},ramp\n", bearing, x + off * (x - 6) / d * (k % 2 ? -1 : 1), y + off * (y - 6) / d * (k % 2 ? -1 : 1));
    }
    return text;
}
const char* const kHead = "start_x,start_y,bearing_deg,finish_x,finish_y,launch_mps\n";

}  // namespace

// Rules of the procedure: common practice; the correction of a slope: Brede 1990, 2 Su Sd / (Su + Sd).
TEST_CASE("brae speed keeps the procedure's rules for ramp readings") {
    const Scratch scratch;
    const std::string green = plane(scratch).string();
    Outcome o = run_brae({"speed", green, "--ramp", "9.8,10.0,9.9", "--back", "10.2,10.4,10.3", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    auto j = o.json();
    CHECK(j["speed_ft"].get<double>() == doctest::Approx(10.1).epsilon(1e-9));
    CHECK(j["sigma_ft"] == 0.5);
    CHECK(j["slope_corrected"] == false);
    CHECK(j["repeat"] == false);
    CHECK(j["stored"] == false);

    // More than 18 in apart: corrected. 2 * 8 * 12 / 20 = 9.6.
    j = run_brae({"speed", green, "--ramp", "8,8,8", "--back", "12,12,12", "--json"}).json();
    CHECK(j["slope_corrected"] == true);
    CHECK(j["speed_ft"].get<double>() == doctest::Approx(9.6).epsilon(1e-9));

    // Readings of one way more than 8 in apart: told, but not to be kept.
    const std::vector<std::string> wide{"speed", green, "--ramp", "9,9.5,9.9", "--back", "10,10,10"};
    o = run_brae(wide);
    CHECK(o.code == 0);
    CHECK(o.out.find("rolled again") != std::string::npos);
    auto store = wide;
    store.push_back("--store");
    CHECK(run_brae(store).code == 1);
    CHECK(run_brae({"putt", green, "--ball", "3,6", "--hole", "6,6"}).code == 2);   // nothing was kept
}

TEST_CASE("a kept speed is the speed of the day of the other verbs, with its own sigma") {
    const Scratch scratch;
    const std::string green = plane(scratch).string();
    const std::vector<std::string> putt{"putt", green, "--ball", "3,6", "--hole", "6,6", "--json"};
    auto with_speed = putt;
    with_speed.insert(with_speed.end(), {"--speed", "10"});
    const auto half_foot = run_brae(with_speed).json();
    CHECK(half_foot["speed_sigma_ft"] == 0.5);

    REQUIRE(run_brae({"speed", green, "--ramp", "10,10,10", "--back", "10,10,10", "--sigma", "0.25", "--date", "2026-05-02", "--store"}).code == 0);
    const auto kept = run_brae(putt).json();
    CHECK(kept["speed_ft"] == 10.0);
    CHECK(kept["speed_sigma_ft"] == 0.25);
    CHECK(kept["aim_offset_m"] == half_foot["aim_offset_m"]);
    // Half the sigma, half the standard error.
    CHECK(kept["speed_se_m"].get<double>() == doctest::Approx(half_foot["speed_se_m"].get<double>() / 2).epsilon(1e-6));
    // Another speed than the one that was read has the default again.
    auto other = putt;
    other.insert(other.end(), {"--speed", "11"});
    CHECK(run_brae(other).json()["speed_sigma_ft"] == 0.5);

    // Reads and rolls take it too.
    const auto reads = run_brae({"reads", green, "--hole", "6,6", "--spacing", "1", "--out", (scratch / "r.tif").string(), "--json"});
    REQUIRE_MESSAGE(reads.code == 0, reads.error);
    CHECK(reads.json()["speed_ft"] == 10.0);
    CHECK(run_brae({"roll", green, "--ball", "6,6", "--toward", "0", "--launch", "1", "--json"}).json()["speed_ft"] == 10.0);
}

TEST_CASE("brae speed finds the speed of rolled balls again, and says when they do not fit the survey") {
    const Scratch scratch;
    const std::string green = plane(scratch).string();
    write_file(scratch / "rolls.csv", kHead + rolls(green));
    Outcome o = run_brae({"speed", green, "--rolls", (scratch / "rolls.csv").string(), "--store", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    auto j = o.json();
    CHECK(j["speed_ft"].get<double>() == doctest::Approx(9.4).epsilon(1e-4));
    CHECK(j["sigma_ft"].get<double>() > 0.01);
    CHECK(j["sigma_ft"].get<double>() < 0.5);
    CHECK(j["agrees"] == true);
    CHECK(j["rolls"].size() == 4);
    CHECK(run_brae({"putt", green, "--ball", "3,6", "--hole", "6,6", "--json"}).json()["speed_sigma_ft"] == j["sigma_ft"]);

    // Launches that are not known: out and back along a line with one launch speed tell the speed all the same.
    std::string text = "start_x;start_y;toward_x;toward_y;finish_x;finish_y;group\n";
    for (const double bearing : {0.0, 180.0}) {
        const auto r = run_brae({"roll", green, "--ball", "6,6", "--toward", fmt::format("{}", bearing), "--launch", "1.6", "--speed", "9.4", "--json"}).json();
        text += fmt::format("6;6;6;{};{:.6f};{:.6f};1\n", bearing < 90 ? 12 : 0, r["stop"][0].get<double>(), r["stop"][1].get<double>());
    }
    write_file(scratch / "pair.csv", text);
    o = run_brae({"speed", green, "--rolls", (scratch / "pair.csv").string(), "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(o.json()["speed_ft"].get<double>() == doctest::Approx(9.4).epsilon(1e-3));

    // Balls that rest half a metre off by turns: told to disagree, and not kept.
    write_file(scratch / "off.csv", kHead + rolls(green, 0.5));
    o = run_brae({"speed", green, "--rolls", (scratch / "off.csv").string()});
    CHECK(o.code == 0);
    CHECK(o.out.find("model and green disagree") != std::string::npos);
    o = run_brae({"speed", green, "--rolls", (scratch / "off.csv").string(), "--store"});
    CHECK(o.code == 1);
    CHECK(o.error.find("not stored") != std::string::npos);
}

TEST_CASE("brae speed refuses what has no meaning, each in one sentence that names the place") {
    const Scratch scratch;
    const std::string green = plane(scratch).string();
    const auto refused = [&](std::vector<std::string> words, int code, const std::string& word) {
        words.insert(words.begin(), {"speed", green});
        const Outcome o = run_brae(words);
        CHECK_MESSAGE(o.code == code, word << ": " << o.error);
        CHECK_MESSAGE(o.error.find(word) != std::string::npos, o.error);
        CHECK_MESSAGE(std::count(o.error.begin(), o.error.end(), '\n') == 1, o.error);
        CHECK(o.out.empty());
    };
    refused({}, 2, "--ramp");
    refused({"--ramp", "10,10,10"}, 2, "--back");
    refused({"--ramp", "10,ten", "--back", "10"}, 2, "'ten'");
    refused({"--ramp", "10", "--back", "99"}, 2, "2 to 30 ft");
    refused({"--ramp", "10", "--back", "10", "--sigma", "-1"}, 2, "--sigma");
    const auto csv = [&](const std::string& text, const std::string& word) {
        write_file(scratch / "bad.csv", text);
        refused({"--rolls", (scratch / "bad.csv").string()}, 1, word);
    };
    csv("", "is empty");
    csv("start_x,start_y\n1,2\n", "finish_x");
    csv(std::string(kHead) + "6,6,0,6\n", "line 2");
    csv(std::string(kHead) + "6,6,0,six,8,ramp\n", "'six'");
    csv(std::string(kHead), "holds no rolls");
    csv("start_x,start_y,finish_x,finish_y\n6,6,6,8\n", "bearing_deg");
    csv("start_x,start_y,bearing_deg,finish_x,finish_y\n6,6,0,6,8\n", "do not tell");
    refused({"--rolls", "/nonexistent/r.csv"}, 1, "/nonexistent/r.csv");
    write_file(scratch / "off.csv", std::string(kHead) + "6,6,0,6,80,ramp\n");
    refused({"--rolls", (scratch / "off.csv").string()}, 2, "not on the green");
    CHECK(run_brae({"speed", (scratch / "plane150.xyz").string(), "--ramp", "10,10,10", "--back", "10,10,10", "--store"}).code == 2);
}
