// The program as a whole against the exact motion on planes: survey file in, numbers out.
#include "core/base/constants.h"
#include "tests/support/process.h"

#include <cmath>
#include <fmt/format.h>
#include <map>

using namespace brae;
using namespace brae::test;

namespace {

// A plane that falls to the south by `slope`, 24 x 24 m, one point every 0.5 m, as a green file.
fs::path plane_green(double slope) {
    static const Scratch scratch;
    static std::map<double, fs::path> made;
    if (auto it = made.find(slope); it != made.end()) return it->second;
    std::string text;
    for (int j = 0; j <= 48; ++j)
        for (int i = 0; i <= 48; ++i) text += fmt::format("{:.3f} {:.3f} {:.6f}\n", 0.5 * i, 0.5 * j, 10 + slope * 0.5 * j);
    const fs::path xyz = scratch / fmt::format("plane{:.0f}.xyz", 1e4 * slope), gpkg = fs::path(xyz).replace_extension(".gpkg");
    write_file(xyz, text);
    const Outcome o = run_brae({"survey", xyz.string(), "--out", gpkg.string(), "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(o.json()["slope_median_pct"].get<double>() == doctest::Approx(100 * slope).epsilon(1e-4));
    return made[slope] = gpkg;
}

std::string point(double x, double y) { return fmt::format("{:.6f},{:.6f}", x, y); }

}  // namespace

// Exact motion on a plane, derived from the rolling equation (closed form; cos(theta) taken as 1 costs 0.02 %).
TEST_CASE("brae roll stops on a 2 % plane where the closed form says, within 0.1 %") {
    struct Row { double psi, x, y, t; };
    const Row rows[] = {{0, 4.8951, 0, 4.8951},
                        {45, 3.5041, 2.8569, 4.6035},
                        {90, 0.4978, 3.7058, 3.8995},
                        {135, -2.0107, 2.3838, 3.1956},
                        {180, -2.9040, 0, 2.9040}};
    const fs::path green = plane_green(0.02);
    for (const Row& r : rows) {
        // Downhill is south (bearing 180); psi is measured from it, here towards the east (bearing 180 - psi).
        const Outcome o = run_brae({"roll", green.string(), "--ball", "12,12", "--toward", fmt::format("{}", 180 - r.psi),
                                    "--launch", "2.0", "--speed", "10", "--json"});
        REQUIRE_MESSAGE(o.code == 0, o.error);
        const auto j = o.json();
        CHECK(j["end"] == "stopped");
        const double reach = std::hypot(r.x, r.y);
        CHECK(std::abs(12 - j["stop"][1].get<double>() - r.x) < 1e-3 * reach);
        CHECK(std::abs(j["stop"][0].get<double>() - 12 - r.y) < 1e-3 * reach);
        CHECK(j["time_s"].get<double>() == doctest::Approx(r.t).epsilon(1e-3));
        const auto& last = j["path"].back();
        CHECK(last[0] == j["stop"][0]);
        CHECK(last[4].get<double>() == doctest::Approx(0.0));
    }
}

// Derived: sin(aim angle) = tan(asin(e)/2) level with the hole, and the same equation integrated at 45 degrees; inches.
TEST_CASE("brae putt aims a dying ball across planes as the table of derived values says, within 0.1 inch") {
    struct Row { double speed, slope, level, above, below; };
    const Row rows[] = {{8, 0.01, 6.15, 4.68, 4.05},    {8, 0.02, 12.46, 10.22, 7.63},  {10, 0.01, 7.71, 5.98, 4.98},
                        {10, 0.02, 15.71, 13.41, 9.28}, {10, 0.03, 24.38, 23.11, 13.11}, {12, 0.02, 19.08, 16.96, 10.86}};
    const double d = 10 * kFoot;
    for (const Row& r : rows) {
        const double wanted[] = {r.level, r.above, r.below}, angles[] = {0, 45, -45};
        for (int k = 0; k < 3; ++k) {
            const double a = angles[k] * kPi / 180;
            const Outcome o = run_brae({"putt", plane_green(r.slope).string(), "--ball", point(12 - d * std::cos(a), 12 + d * std::sin(a)),
                                        "--hole", "12,12", "--speed", fmt::format("{}", r.speed), "--past", "0", "--json"});
            REQUIRE_MESSAGE(o.code == 0, o.error);
            const auto j = o.json();
            // The ball comes from the west and the ground falls to the south, to its right: it is aimed to the left.
            CHECK(j["aim_side"] == "left");
            CHECK(j["side"] == "left-to-right");
            CHECK_MESSAGE(std::abs(-j["aim_offset_m"].get<double>() / kInch - wanted[k]) < 0.1,
                          r.speed << " ft, " << r.slope << ", " << angles[k] << " deg: " << j["aim_offset_m"]);
        }
    }
}

// Derived: level-equivalent length D (1 +- e); S = 10, 2 %: 1.2554 and 0.7446.
TEST_CASE("straight up and down a plane the launch speed is that of the level-equivalent length") {
    const double a = kRampReleaseMps * kRampReleaseMps / (2 * 10 * kFoot), e = kRollFactor * kGravity * 0.02 / a;
    for (int up : {1, -1}) {
        const Outcome o = run_brae({"putt", plane_green(0.02).string(), "--ball", point(12, 12 - 3.0 * up), "--hole", "12,12",
                                    "--speed", "10", "--past", "0", "--json"});
        REQUIRE_MESSAGE(o.code == 0, o.error);
        const double launch = o.json()["launch_mps"];
        CHECK(launch * launch / (2 * a) == doctest::Approx(3.0 * (1 + up * e)).epsilon(1e-3));
        CHECK(1 + up * e == doctest::Approx(up > 0 ? 1.2554 : 0.7446).epsilon(1e-4));
        CHECK(o.json()["aim_side"] == "straight");
    }
}

TEST_CASE("a hole on a slope where no ball stops is refused with the slope and the speed") {
    const Outcome o = run_brae({"putt", plane_green(0.08).string(), "--ball", "12,8", "--hole", "12,12", "--speed", "12", "--past", "0", "--json"});
    CHECK(o.code == 1);
    CHECK(o.json().contains("error"));
    CHECK(o.error.find("8") != std::string::npos);
}

TEST_CASE("putts from outside, absurd green speeds and paces are wrong use, each with one sentence") {
    const std::string green = plane_green(0.02).string();
    const std::vector<std::vector<std::string>> wrong{
        {"putt", green, "--ball", "-5,12", "--hole", "12,12", "--speed", "10"},
        {"putt", green, "--ball", "12,9", "--hole", "12,40", "--speed", "10"},
        {"putt", green, "--ball", "12,9", "--hole", "12,12", "--speed", "0"},
        {"putt", green, "--ball", "12,9", "--hole", "12,12", "--speed", "40"},
        {"putt", green, "--ball", "12,9", "--hole", "12,12", "--speed", "10", "--past", "-1"},
        {"putt", green, "--ball", "12,9", "--hole", "12,12", "--speed", "nan"},
        {"putt", green, "--ball", "12;9", "--hole", "12,12", "--speed", "10"},
        {"putt", green, "--ball", "12,9", "--hole", "here", "--speed", "10"},
        {"putt", green, "--ball", "12,9", "--speed", "10"},
        {"putt", green, "--hole", "12,9", "--speed", "10"},
        {"roll", green, "--ball", "12,9", "--toward", "0", "--launch", "-1", "--speed", "10"},
        {"roll", green, "--ball", "12,9", "--toward", "north", "--launch", "1", "--speed", "10"},
        {"holes", green, "--speed", "3"},
        {"stations", green, "--hole", "12,12", "--speed", "10", "--lesson", "nonesuch"},
        {"locate", green, "--tape", "S1=4"},
        {"nonesuch", green}};
    for (const auto& words : wrong) {
        const Outcome o = run_brae(words);
        const std::string what = words[0] + " " + words.back();
        CHECK_MESSAGE(o.code == 2, what << ": " << o.code << " " << o.error);
        CHECK_MESSAGE(o.out.empty(), what);
        CHECK_MESSAGE(std::count(o.error.begin(), o.error.end(), '\n') == 1, what << ": " << o.error);
    }
}

TEST_CASE("brae roll says which criterion took the ball and whether its bounce decides, and brae putt which its window rests on") {
    const std::string green = plane_green(0).string();
    // 2 m of level green before the hole at 10 ft: met at 1.8 m/s, between the limits of a dead and of a lively bounce.
    const auto launch = fmt::format("{:.6f}", std::hypot(1.8, std::sqrt(2 * 1.8288 * 1.8288 / (2 * 3.048) * 2.0)));
    const std::vector<std::string> fast{"roll", green, "--ball", "12,10", "--toward", "0", "--launch", launch, "--speed", "10", "--hole", "12,12"};
    const auto with = [](std::vector<std::string> words, std::initializer_list<std::string> more) {
        words.insert(words.end(), more);
        return run_brae(words);
    };
    Outcome o = with(fast, {"--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(o.json()["end"] == "holed");
    CHECK(o.json()["capture"] == "rim");
    CHECK(o.json()["uncertain"] == true);
    REQUIRE(o.json()["drops_by_restitution"].size() == 3);
    CHECK(o.json()["drops_by_restitution"][0]["restitution"] == 0.0);
    CHECK(o.json()["drops_by_restitution"][0]["drops"] == false);
    CHECK(o.json()["drops_by_restitution"][1]["drops"] == true);
    o = with(fast, {"--capture", "free-fall", "--json"});
    CHECK(o.json()["end"] == "stopped");
    CHECK(o.json()["capture"] == "free fall");
    CHECK(o.json()["uncertain"] == true);
    CHECK(with(fast, {}).out.find("uncertain") != std::string::npos);
    CHECK(with(fast, {"--capture", "magnet"}).code == 2);

    // A slow ball drops however it bounces.
    o = run_brae({"roll", green, "--ball", "12,10", "--toward", "0", "--launch", "1.6", "--speed", "10", "--hole", "12,12", "--json"});
    CHECK(o.json()["end"] == "holed");
    CHECK(o.json()["uncertain"] == false);

    const std::vector<std::string> putt{"putt", green, "--ball", "12,10", "--hole", "12,12", "--speed", "10", "--json"};
    const auto rim = run_brae(putt).json(), fall = with(putt, {"--capture", "free-fall"}).json();
    CHECK(rim["capture"] == "rim");
    CHECK(fall["capture"] == "free fall");
    CHECK(rim["holing_window"]["fast_mps"].get<double>() > fall["holing_window"]["fast_mps"].get<double>());
}
