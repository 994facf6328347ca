#include "core/survey/read_marks.h"

#include "core/base/error.h"
#include "tests/support/process.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;

namespace {

const Frame kFrame{[] {
    FrameSpec s;
    s.origin_map = {4000, 7000};
    s.origin_height_m = 30;
    return s;
}()};

std::vector<ReferenceMark> marks_of(const std::string& text) {
    const Scratch scratch;
    write_file(scratch / "marks.csv", text);
    Progress progress;
    return read_marks(scratch / "marks.csv", kFrame, progress);
}
std::string refusal(const std::string& text) {
    try {
        marks_of(text);
    } catch (const Error& e) {
        return e.what();
    }
    return "";
}

}  // namespace

TEST_CASE("marks come from a list with a header in the green's frame, with their descriptions") {
    const auto marks = marks_of("name,easting,northing,height,code,description\n"
                                "S1,4002.5,7003.25,30.125,HEAD,front left\n"
                                "g1,4005,7006,30.2,GR,\n"
                                "N7,4020,7001,30.5,NAIL,\n");
    REQUIRE(marks.size() == 2);
    CHECK(marks[0].name == "S1");
    CHECK(marks[0].description == "front left");
    CHECK(distance(Vec2{marks[0].p.x, marks[0].p.y}, {2.5, 3.25}) < 1e-9);
    CHECK(marks[0].p.z == doctest::Approx(0.125));
    CHECK(marks[1].name == "N7");
}

TEST_CASE("where no code means a mark every named row is one, and equal names are told apart") {
    const auto marks = marks_of("name;easting;northing;height\nA;4001;7001;30\nA;4002;7001;30\nB;4003;7001;30\n");
    REQUIRE(marks.size() == 3);
    CHECK(marks[0].name == "A");
    CHECK(marks[1].name != "A");
    CHECK(marks[2].name == "B");
}

TEST_CASE("another system, a cloud and text where numbers belong are refused in one sentence that names the file") {
    for (const std::string& text : {std::string("name,easting,northing,height\nA,431000,573000,30\n"), std::string("4001 7001 30\n4002 7001 30\n"),
                                    std::string("name,easting,northing,height\nA,4001,west,30\n")}) {
        const std::string sentence = refusal(text);
        CHECK(sentence.find("marks.csv") != std::string::npos);
        CHECK(sentence.find('\n') == std::string::npos);
    }
    CHECK(refusal("name,easting,northing,height\nA,431000,573000,30\n").find("'A'") != std::string::npos);
}
