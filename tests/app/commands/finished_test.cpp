// brae finished: what the program says of a ball that it rolled itself.
#include "core/base/units.h"
#include "tests/support/plane_green.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

using namespace brae;
using namespace brae::test;

namespace {

// A plane that falls 2 % to the south, 12 x 12 m.
fs::path plane(const Scratch& scratch) { return plane_green(scratch, 0.02); }

std::string at(const nlohmann::json& p) { return fmt::format("{:.9f},{:.9f}", p[0].get<double>(), p[1].get<double>()); }

}  // namespace

TEST_CASE("brae finished tells read, start line and pace apart for a ball whose errors are known") {
    const Scratch scratch;
    const std::string green = plane(scratch).string();
    const auto read = run_brae({"putt", green, "--ball", "3,6", "--hole", "6,6", "--speed", "10", "--json"}).json();
    const double aim = read["aim_offset_m"].get<double>(), launch = read["launch_mps"].get<double>();
    CHECK(aim < -0.05);   // it falls to the right of a player who faces east, who aims left

    // The player aims 10 cm short of enough, starts 1 degree right of that, and hits 5 % too hard.
    const double chosen = aim + 0.10, turn = std::atan2(chosen, 3.0) + radians(1);
    const auto rolled = run_brae({"roll", green, "--ball", "3,6", "--toward", fmt::format("{:.12f}", 90 + degrees(turn)), "--launch",
                                  fmt::format("{:.12f}", 1.05 * launch), "--speed", "10", "--json"}).json();
    const std::vector<std::string> asked{"finished", green, "--ball", "3,6", "--hole", "6,6", "--speed", "10", "--rest", at(rolled["stop"])};
    auto words = asked;
    words.insert(words.end(), {"--aim", fmt::format("{:.9f}", chosen), "--json"});
    const Outcome o = run_brae(words);
    REQUIRE_MESSAGE(o.code == 0, o.error);
    const auto j = o.json();
    REQUIRE(j["status"] == "told");
    CHECK(j["told"] == true);
    const auto& l = j["launches"][0];
    CHECK(l["launch_mps"].get<double>() == doctest::Approx(1.05 * launch).epsilon(1e-4));
    CHECK(l["read_error_m"]["value"].get<double>() == doctest::Approx(0.10).epsilon(0.01));
    CHECK(l["start_line_error_deg"]["value"].get<double>() == doctest::Approx(1).epsilon(0.01));
    CHECK(l["pace_error_mps"]["value"].get<double>() == doctest::Approx(0.05 * launch).epsilon(0.01));
    for (const char* key : {"read_error_m", "start_line_error_deg", "pace_error_mps"}) CHECK(l[key]["se"].get<double>() > 0);
    CHECK(l["passed"]["side"] == "low");
    CHECK(l["passed"]["hand"] == "right");

    // A marker on the same line says the same as the aim.
    const Vec2 marker = Vec2{3, 6} + 1.7 * direction_of_bearing(90 + degrees(std::atan2(chosen, 3.0)));
    words = asked;
    words.insert(words.end(), {"--marker", fmt::format("{:.12f},{:.12f}", marker.x, marker.y), "--json"});
    CHECK(run_brae(words).json()["chosen_aim_m"].get<double>() == doctest::Approx(chosen).epsilon(1e-5));

    // Without an aim, read and start line stay together; words for people.
    const auto blind = run_brae(asked);
    CHECK(blind.code == 0);
    CHECK(blind.out.find("cannot be told apart") != std::string::npos);
    CHECK(blind.out.find("m/s too hard") != std::string::npos);

    // Seen to pass where it cannot have passed.
    words = asked;
    words.insert(words.end(), {"--passed", "short", "--json"});
    const auto other = run_brae(words).json();
    CHECK(other["status"] == "side-disagrees");
    CHECK(other["told"] == false);

    // The standard error follows the speed of the day: a green with a sharp reading tells more.
    REQUIRE(run_brae({"speed", green, "--ramp", "10,10,10", "--back", "10,10,10", "--sigma", "0.1", "--store"}).code == 0);
    words = asked;
    words.insert(words.end(), {"--json"});
    const auto sharp = run_brae(words).json();
    CHECK(sharp["speed_sigma_ft"] == 0.1);
    CHECK(sharp["launches"][0]["launch_se_mps"].get<double>() < l["launch_se_mps"].get<double>());
}

TEST_CASE("brae finished gives an interval for a holed ball and a limit for one off the green") {
    const Scratch scratch;
    const std::string green = plane(scratch).string();
    const Outcome holed = run_brae({"finished", green, "--ball", "3,6", "--hole", "6,6", "--speed", "10", "--holed", "--json"});
    REQUIRE_MESSAGE(holed.code == 0, holed.error);
    CHECK(holed.json()["status"] == "holed");
    const auto window = run_brae({"putt", green, "--ball", "3,6", "--hole", "6,6", "--speed", "10", "--json"}).json()["holing_window"];
    CHECK(holed.json()["range"]["slow_mps"] == window["slow_mps"]);
    CHECK(holed.json()["range"]["right_deg"] == window["right_deg"]);
    const Outcome off = run_brae({"finished", green, "--ball", "3,6", "--hole", "6,6", "--speed", "10", "--left-at", "12,6", "--json"});
    REQUIRE_MESSAGE(off.code == 0, off.error);
    CHECK(off.json()["status"] == "off-green");
    CHECK(off.json()["range"]["fast_mps"].is_null());
    CHECK(off.json()["range"]["slow_mps"].get<double>() > window["fast_mps"].get<double>());
}

TEST_CASE("brae finished refuses what has no meaning, each in one sentence") {
    const Scratch scratch;
    const std::string green = plane(scratch).string();
    const auto refused = [&](std::vector<std::string> more, int code, const std::string& word) {
        std::vector<std::string> words{"finished", green, "--ball", "3,6", "--hole", "6,6", "--speed", "10"};
        words.insert(words.end(), more.begin(), more.end());
        const Outcome o = run_brae(words);
        CHECK_MESSAGE(o.code == code, word << ": " << o.error);
        CHECK_MESSAGE(o.error.find(word) != std::string::npos, o.error);
        CHECK_MESSAGE(std::count(o.error.begin(), o.error.end(), '\n') == 1, o.error);
        CHECK(o.out.empty());
    };
    refused({}, 2, "--rest");
    refused({"--rest", "7,6", "--holed"}, 2, "--rest");
    refused({"--rest", "70,6"}, 2, "off the green");
    refused({"--rest", "7,6", "--marker", "1,6"}, 2, "--marker");
    refused({"--rest", "7,6", "--aim", "0.1", "--marker", "5,6"}, 2, "--marker");
    refused({"--rest", "7,6", "--passed", "above"}, 2, "--passed");
    refused({"--rest", "7,6", "--rest-sigma", "-1"}, 2, "0 to 10 m");
    refused({"--rest", "3.01,6"}, 1, "rests where it started");
}
