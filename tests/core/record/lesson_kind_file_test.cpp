#include "core/record/lesson_kind_file.h"

#include "core/base/error.h"
#include "tests/support/support.h"

#include <fstream>

using namespace brae;
using namespace brae::test;

namespace {

LessonKind read(const std::string& text) {
    const Scratch folder;
    const auto file = folder.path() / "mine.json";
    std::ofstream(file) << text;
    return read_lesson_kind(file);
}

std::string refusal(const std::string& text) {
    try {
        read(text);
    } catch (const Error& e) {
        return e.what();
    }
    return "";
}

std::string with(const std::string& station) { return R"({"name":"n","stations":[{"note":"first"},)" + station + "]}"; }

}  // namespace

TEST_CASE("a coach's lesson is read with its units") {
    const LessonKind k = read(R"({"name": "three of a kind", "teaches": "Trust it.", "wants": "Three.",
        "stations": [{"note": "long", "distance_m": [4, 5], "break_cm": [20, 40], "side": "left-to-right", "slope_pct": [-3, -1],
                      "past_m": 0.15, "chance_pct": [10, 30], "count": 2},
                     {"over_tier": true, "distance_m": [3, 8]},
                     {"like": 1, "distance_m": [4, 5]}]})");
    CHECK(k.name == "three of a kind");
    CHECK(k.teaches == "Trust it.");
    REQUIRE(k.wishes.size() == 4);
    CHECK(k.wishes[1].note == "long");
    CHECK(k.wishes[0].break_m->low == doctest::Approx(0.2));
    CHECK(k.wishes[0].slope_along->low == doctest::Approx(-0.03));
    CHECK(k.wishes[0].chance->high == doctest::Approx(0.3));
    CHECK(k.wishes[0].past_m == 0.15);
    CHECK(k.wishes[0].side == PuttSide::left_to_right);
    CHECK(k.wishes[2].over_tier);
    CHECK(k.wishes[3].like == std::size_t{0});
}

TEST_CASE("whatever is wrong is named with its place") {
    CHECK(refusal("hello").find("line 1 is no JSON") != std::string::npos);
    CHECK(refusal("{\n\"name\": \"x\",\n]").find("line 3") != std::string::npos);
    CHECK(refusal("[]").find("no JSON object") != std::string::npos);
    CHECK(refusal("{\"stations\":[]}").find("'name' is missing") != std::string::npos);
    CHECK(refusal("{\"name\":\"n\"}").find("'stations' is missing") != std::string::npos);
    CHECK(refusal("{\"name\":\"n\",\"stations\":[]}").find("wants no station") != std::string::npos);
    CHECK(refusal("{\"name\":\"n\",\"colour\":1,\"stations\":[]}").find("'colour' is unknown") != std::string::npos);
    CHECK(refusal(with(R"({"brake_cm":[1,2]})")).find("station 2: 'brake_cm' is unknown; the keys are note, count") != std::string::npos);
    CHECK(refusal(with(R"({"break_cm":"much"})")).find("station 2: 'break_cm' is \"much\"; two numbers [low, high]") != std::string::npos);
    CHECK(refusal(with(R"({"break_cm":[1,"x"]})")).find("a number is wanted") != std::string::npos);
    CHECK(refusal(with(R"({"break_cm":[5,1]})")).find("station 2 of the lesson: a break of 5 to 1 cm") != std::string::npos);
    CHECK(refusal(with(R"({"side":"up"})")).find("'side' is 'up'") != std::string::npos);
    CHECK(refusal(with(R"({"count":2.5})")).find("a whole number from 1 to 12") != std::string::npos);
    CHECK(refusal(with(R"({"like":2})")).find("a whole number from 1 to 1") != std::string::npos);
    CHECK(refusal(R"({"name":"n","stations":[{"like":1}]})").find("this is the first") != std::string::npos);
    CHECK(refusal(with("7")).find("station 2: found no JSON object") != std::string::npos);
    CHECK_THROWS_WITH_AS(read_lesson_kind("/nowhere/x.json"), doctest::Contains("no such file"), Error);
}
