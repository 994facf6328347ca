// brae putt and brae roll with what a player, a putter and a doubter ask beside aim and pace.
#include "core/base/constants.h"
#include "core/base/units.h"
#include "tests/support/plane_green.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

using namespace brae;
using namespace brae::test;

namespace {

// A plane that falls to the south by `slope`, 12 x 12 m; one for each slope.
std::string plane(double slope) {
    static const Scratch scratch;
    return plane_green(scratch, slope).string();
}

Outcome putt(const std::string& green, std::vector<std::string> more) {
    std::vector<std::string> words{"putt", green, "--ball", "3,6", "--hole", "6,6", "--speed", "10"};
    words.insert(words.end(), more.begin(), more.end());
    return run_brae(words);
}
Outcome roll(const std::string& green, std::vector<std::string> more) {
    std::vector<std::string> words{"roll", green, "--ball", "6,3", "--toward", "0", "--speed", "10"};
    words.insert(words.end(), more.begin(), more.end());
    return run_brae(words);
}

void refused(const Outcome& o, const std::string& word) {
    CHECK_MESSAGE(o.code == 2, word << ": " << o.error);
    CHECK_MESSAGE(o.error.find(word) != std::string::npos, o.error);
    CHECK_MESSAGE(std::count(o.error.begin(), o.error.end(), '\n') == 1, o.error);
    CHECK(o.out.empty());
}

}  // namespace

TEST_CASE("brae putt finds the pace that forgives most, and no row of its table forgives more") {
    const auto j = putt(plane(0.02), {"--best-pace", "--json"}).json();
    const auto& best = j["best_pace"];
    CHECK(best["rows"].size() == 16);
    for (const auto& row : best["rows"])
        if (row.contains("forgiveness")) CHECK(row["forgiveness"].get<double>() <= best["forgiveness"].get<double>());
    // At that pace the verb itself says the same window.
    const auto there = run_brae({"putt", plane(0.02), "--ball", "3,6", "--hole", "6,6", "--speed", "10", "--past",
                                 fmt::format("{:.6f}", best["past_m"].get<double>()), "--json"}).json();
    CHECK(there["holing_window"]["low_side_deg"].get<double>() == doctest::Approx(best["low_side_deg"].get<double>()).epsilon(1e-3));
    CHECK(there["holing_window"]["fast_ball_mps"].get<double>() == doctest::Approx(best["fast_ball_mps"].get<double>()).epsilon(1e-4));
    CHECK(there["aim_offset_m"].get<double>() == doctest::Approx(best["aim_offset_m"].get<double>()).epsilon(1e-3));
    const Outcome words = putt(plane(0.02), {"--best-pace"});
    CHECK(words.out.find("best pace") != std::string::npos);
    CHECK(words.out.find("past the hole on level ground") != std::string::npos);
}

TEST_CASE("the holing window is named by side: high is where the player aims") {
    const auto right = putt(plane(0.02), {"--json"}).json();
    CHECK(right["aim_side"] == "left");   // facing east on ground that falls south
    const auto& w = right["holing_window"];
    CHECK(w["high_side_deg"].get<double>() == doctest::Approx(-w["left_deg"].get<double>()));
    CHECK(w["low_side_deg"].get<double>() == doctest::Approx(w["right_deg"].get<double>()));
    CHECK(w["slow_ball_mps"].get<double>() > w["slow_mps"].get<double>());
    const auto straight = run_brae({"putt", plane(0.02), "--ball", "6,3", "--hole", "6,6", "--speed", "10", "--json"}).json();
    CHECK(straight["holing_window"]["high_side_deg"].is_null());
}

TEST_CASE("a steadier player holes more and needs fewer strokes; a half-described one is refused") {
    const auto player = [&](const char* line, const char* pace, const char* read) {
        return putt(plane(0.02), {"--start-line-sigma", line, "--pace-sigma", pace, "--read-sigma", read, "--json"}).json()["player"];
    };
    const auto steady = player("0.5", "3", "0.3"), wild = player("2", "10", "1");
    CHECK(steady["chance"].get<double>() > wild["chance"].get<double>() + 0.2);
    CHECK(steady["expected_strokes"].get<double>() < wild["expected_strokes"].get<double>());
    for (const auto& p : {steady, wild}) {
        const double sum = p["one_putt"].get<double>() + p["two_putts"].get<double>() + p["three_putts"].get<double>() + p["four_putts"].get<double>();
        CHECK(sum == doctest::Approx(1).epsilon(1e-5));
        CHECK(p["chance"].get<double>() == doctest::Approx(p["one_putt"].get<double>()).epsilon(1e-5));
    }
    // Start line and read add as squares: 0.3 and 0.4 are 0.5.
    CHECK(player("0.3", "3", "0.4")["chance"].get<double>() == doctest::Approx(player("0.5", "3", "0")["chance"].get<double>()).epsilon(1e-5));

    refused(putt(plane(0.02), {"--start-line-sigma", "1"}), "--pace-sigma");
    refused(putt(plane(0.02), {"--pace-sigma", "5"}), "--start-line-sigma");
    refused(putt(plane(0.02), {"--start-line-sigma", "-1", "--pace-sigma", "5"}), "--start-line-sigma");
    refused(putt(plane(0.02), {"--start-line-sigma", "1", "--pace-sigma", "50"}), "0.1 to 25 percent");
    refused(putt(plane(0.02), {"--lie-error", "2"}), "--loft");
    refused(putt(plane(0.02), {"--loft", "40"}), "-10 to 15 degrees");
}

// face_turn: atan(tan L sin d), standard geometry; 4 degrees of loft and 3 of lie turn the face by 0.21 degrees.
TEST_CASE("loft and lie enter the ball speed and the face") {
    const auto plain = putt(plane(0.02), {"--json"}).json(), lofted = putt(plane(0.02), {"--loft", "4", "--lie-error", "3", "--json"}).json();
    CHECK(lofted["launch_mps"] == plain["launch_mps"]);
    CHECK(lofted["ball_speed_mps"].get<double>() > plain["ball_speed_mps"].get<double>());
    const auto& p = lofted["putter"];
    CHECK(p["face_turn_deg"].get<double>() == doctest::Approx(degrees(std::atan(std::tan(radians(4)) * std::sin(radians(3))))).epsilon(1e-4));
    CHECK(p["launch_angle_deg"].get<double>() < 4);
    CHECK(p["jump_height_m"].get<double>() > 0);
    // Struck so on the level, the ball runs as far as one that rolled at once.
    const std::string level = plane(0);
    const auto read = putt(level, {"--loft", "4", "--json"}).json();
    const auto rolled = roll(level, {"--launch", fmt::format("{:.9f}", read["launch_mps"].get<double>()), "--json"}).json();
    const auto struck = roll(level, {"--ball-speed", fmt::format("{:.9f}", read["ball_speed_mps"].get<double>()), "--loft", "4", "--json"}).json();
    CHECK(struck["length_m"].get<double>() == doctest::Approx(rolled["length_m"].get<double>()).epsilon(2e-4));
    CHECK(struck["skid"]["launch_mps"].get<double>() == doctest::Approx(read["launch_mps"].get<double>()).epsilon(1e-4));
}

TEST_CASE("the assumptions of a roll are off unless given, do what they say, and are named") {
    const std::string level = plane(0);
    const auto length = [&](std::vector<std::string> more) {
        more.insert(more.end(), {"--launch", "1.8288", "--json"});
        const Outcome o = roll(level, more);
        REQUIRE_MESSAGE(o.code == 0, o.error);
        CHECK(o.json()["assumptions"].size() == (more.size() > 3 ? 1 : 0));
        return o.json()["length_m"].get<double>();
    };
    const double plain = length({});
    CHECK(plain == doctest::Approx(10 * kFoot).epsilon(1e-4));   // a ramp's ball on level ground at 10 ft
    // Straight with the grain and against it: 1 -+ strength in the resistance.
    CHECK(length({"--grain-bearing", "0", "--grain-strength", "0.2"}) == doctest::Approx(plain / 0.8).epsilon(1e-4));
    CHECK(length({"--grain-bearing", "180", "--grain-strength", "0.2"}) == doctest::Approx(plain / 1.2).epsilon(1e-4));
    // A ramp reads the same whatever the exponent; a slower ball does not.
    CHECK(length({"--speed-exponent", "0.3"}) == doctest::Approx(plain).epsilon(2e-3));

    // A cut 4 m north of the south edge: from there on twice the resistance halves what is left.
    const Scratch scratch;
    write_file(scratch / "cut.geojson", R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":[[[0.1,0.1],[11.9,0.1],[11.9,4],[0.1,4],[0.1,0.1]]]}}]})");
    CHECK(length({"--cut", (scratch / "cut.geojson").string(), "--outside-factor", "2"}) == doctest::Approx(1 + (plain - 1) / 2).epsilon(1e-3));

    const Outcome words = roll(level, {"--launch", "1", "--grain-bearing", "90", "--grain-strength", "0.1"});
    CHECK(words.out.find("assumed") != std::string::npos);
    CHECK(words.out.find("grain lies toward 90 degrees") != std::string::npos);

    refused(roll(level, {}), "--launch");
    refused(roll(level, {"--launch", "1", "--ball-speed", "1"}), "--ball-speed");
    refused(roll(level, {"--launch", "1", "--grain-bearing", "90"}), "--grain-strength");
    refused(roll(level, {"--launch", "1", "--grain-bearing", "90", "--grain-strength", "3"}), "0 to 0.5");
    refused(roll(level, {"--launch", "1", "--speed-exponent", "2"}), "-0.5 to 0.5");
    refused(roll(level, {"--launch", "1", "--outside-factor", "2"}), "--cut");
    refused(roll(level, {"--launch", "1", "--loft", "3"}), "--ball-speed");
    CHECK(roll(level, {"--ball-speed", "6"}).code == 0);
}
