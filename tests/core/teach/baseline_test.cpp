#include "core/teach/baseline.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "tests/support/process.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

std::vector<BaselinePutt> read(const std::string& text, const BaselineColumns& columns = {}) {
    const Scratch scratch;
    write_file(scratch / "b.csv", text);
    return read_baseline(scratch / "b.csv", columns);
}
std::string refusal(const std::string& text, const BaselineColumns& columns = {}) {
    try {
        read(text, columns);
    } catch (const Error& e) {
        return e.what();
    }
    return "";
}
bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a baseline is read by its own header, with the units that the header says") {
    const auto b = read("\xef\xbb\xbf" "No,Face aim (deg),Start direction_rad,Ball speed [mph],Strike_cm\r\n1,-0.5,0.01,5,1.2\r\n2,0.25,,4,-0.5\r\n# a word\r\n");
    REQUIRE(b.size() == 2);
    CHECK(b[0].aim_deg == -0.5);
    CHECK(*b[0].start_deg == doctest::Approx(degrees(0.01)));
    CHECK(*b[0].ball_speed_mps == doctest::Approx(2.2352));   // 1 mph = 0.44704 m/s exactly
    CHECK(*b[0].strike_mm == doctest::Approx(12));
    CHECK((!b[1].start_deg && !b[0].face_deg && !b[0].path_deg));
}

TEST_CASE("a quoted field may hold the separator and quotes") {
    const auto b = read("aim,remark,start\n0.5,\"left, then \"\"right\"\"\",0.7\n");
    REQUIRE(b.size() == 1);
    CHECK((b[0].aim_deg == 0.5 && b[0].start_deg == 0.7));
}

TEST_CASE("columns are chosen by name or number, decimal commas and a left-positive file are read") {
    BaselineColumns c;
    c.column = {{"aim", "2"}, {"start", "Richtung"}};
    c.left_is_positive = true;
    const auto b = read("Nr;Ziel;Richtung\n1;0,5;-1,25\n2;-0,5;0\n", c);
    REQUIRE(b.size() == 2);
    CHECK((b[0].aim_deg == -0.5 && b[0].start_deg == 1.25));
    // No header at all: numbers serve.
    c.column = {{"speed", "1"}};
    c.unit = {{"speed", "kmh"}};
    const auto n = read("9\n7.2\n", c);
    REQUIRE(n.size() == 2);
    CHECK(*n[1].ball_speed_mps == doctest::Approx(2));
}

TEST_CASE("letters where numbers belong are refused with line, found and wanted") {
    CHECK(says(refusal("aim,start\n0.5,x1\n"), "line 2: found 'x1' in start, a number is wanted"));
    CHECK(says(refusal("aim,start\n0.5,nan\n"), "line 2: found 'nan' in start"));
    CHECK(says(refusal("aim\n\n90\n"), "line 3: found 90 degrees in aim, -45 to 45 are wanted"));
    CHECK(says(refusal("speed (mps)\n40\n"), "0.05 to 20"));
    CHECK(says(refusal("a,b\n1,2\n"), "no column that is known"));
    CHECK(says(refusal("aim (miles)\n1\n"), "found the unit 'miles' for aim; deg or rad are wanted"));
    CHECK(says(refusal("aim\n"), "holds no putts"));
    CHECK(says(refusal(""), "holds no putts"));
    BaselineColumns c;
    c.column = {{"aim", "7"}};
    CHECK(says(refusal("1,2\n", c), "found no column '7' for aim; 2 columns are there"));
    c.column = {{"colour", "1"}};
    CHECK(says(refusal("1,2\n", c), "found a field 'colour'"));
    CHECK(says(refusal("aim,start\n0.5\n"), "found 1 fields"));
}

TEST_CASE("means and spreads are those of the measured, and the stroke is start less aim") {
    const auto b = read("aim,start\n1,2\n3,3\n,1\n");
    const BaselineSummary s = summarise(b);
    CHECK((s.aim.n == 2 && s.aim.mean == 2 && s.start.n == 3 && s.start.mean == 2 && s.start.sd == 1));
    CHECK((s.aim_to_start.n == 2 && s.aim_to_start.mean == 0.5));
    CHECK(s.ball_speed.n == 0);
}

TEST_CASE("a baseline moves the prior towards what was measured and narrows it, no further than it carries over") {
    std::string text = "aim,start\n";
    for (int k = 0; k < 400; ++k) text += k % 2 ? "1.5,1.0\n" : "0.5,0.0\n";
    const PlayerPrior before, after = prior_with_baseline(before, read(text));
    // Four hundred putts know the mean exactly; 0.5 degrees stay: 1 / (1 / 1^2 + 1 / 0.5^2) of variance, mean 0.8 of 1.
    CHECK(degrees(after.figure[kAimBias].mean) == doctest::Approx(0.8).epsilon(0.01));
    CHECK(degrees(after.figure[kAimBias].sd) == doctest::Approx(std::sqrt(0.2)).epsilon(0.01));
    CHECK(after.figure[kStrokeBias].mean < 0);
    CHECK(after.figure[kStrokeSpread].mean < before.figure[kStrokeSpread].mean + 1e-12);   // no scatter at all tells no spread
    CHECK(after.figure[kPaceBias].sd == before.figure[kPaceBias].sd);
    CHECK(prior_with_baseline(before, {}).figure[kAimBias].sd == before.figure[kAimBias].sd);
}
