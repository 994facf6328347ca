#include "core/survey/point_codes.h"

#include "core/base/constants.h"
#include "tests/core/survey/survey_files.h"

using namespace brae;
using namespace brae::test;

TEST_CASE("codes mean the same in any case and with any digits at their end") {
    for (const char* code : {"EDGE", "edge", "Edge12", "EDGE-3", " ge ", "OUTLINE"}) CHECK(meaning_of_code(code) == CodeMeaning::edge);
    for (const char* code : {"TOP", "top1", "TT2", "TIER_TOP"}) CHECK(meaning_of_code(code) == CodeMeaning::tier_top);
    for (const char* code : {"TOE", "TB", "toe 7"}) CHECK(meaning_of_code(code) == CodeMeaning::tier_toe);
    for (const char* code : {"HOLE", "pin", "CUP1"}) CHECK(meaning_of_code(code) == CodeMeaning::hole);
    for (const char* code : {"SPR", "SPRINKLER2", "HEAD", "drain", "NAIL", "MARK", "COVER", "SPR front left"})
        CHECK(meaning_of_code(code) == CodeMeaning::mark);
    for (const char* code : {"", "12", "GND", "grd", "LEV", "TURF4"}) CHECK(meaning_of_code(code) == CodeMeaning::ground);
    for (const char* code : {"TREE", "BUNKER", "EDGEWISE", "XTOP"}) CHECK(meaning_of_code(code) == CodeMeaning::other);
}

namespace {

// A levels list of a 16 x 10 m green as a surveyor picks it.
std::string levels_csv(bool edge_in_order, const std::string& ground = "GND") {
    std::string text = "Point,Easting,Northing,Elevation,Code,Description\n";
    int n = 1;
    const auto row = [&](double x, double y, double z, const std::string& code, const std::string& more = "") {
        text += fmt::format("{},{:.3f},{:.3f},{:.3f},{},{}\n", n++, x, y, z, code, more);
    };
    for (int j = 1; j < 5; ++j)
        for (int i = 1; i < 8; ++i) row(2.0 * i, 2.0 * j, 10 + 0.01 * i, ground);
    std::vector<Vec2> ring;
    for (int k = 0; k < 12; ++k) ring.push_back(Vec2{8, 5} + Vec2{8 * std::cos(k * kPi / 6), 5 * std::sin(k * kPi / 6)});
    if (!edge_in_order) std::swap(ring[2], ring[8]);
    for (Vec2 p : ring) row(p.x, p.y, 10.02, "EDGE");
    for (int k = 0; k < 4; ++k) row(3.0 + k, 6, 10.3, "TOP1");
    for (int k = 0; k < 5; ++k) row(3.0 + k, 4.5, 10.0, "TOE1");
    for (int k = 0; k < 3; ++k) row(10.0 + k, 6, 10.2, "TOP2");
    row(7.7, 5.1, 10.05, "HOLE");
    row(-0.5, 1.0, 9.95, "SPR", "sprinkler head, front left");
    row(16.5, 9.0, 9.90, "DRAIN");
    row(8.0, -1.0, 9.97, "NAIL by the path");
    row(20.0, 20.0, 14.0, "TREE");
    return text;
}

}  // namespace

TEST_CASE("coded points become outline, breaklines, marks and hole, and what lies on turf also a height") {
    const Scratch scratch;
    write_file(scratch / "levels.csv", levels_csv(true));
    const Survey survey = read(scratch / "levels.csv");
    CHECK(survey.points_read == 28 + 12 + 4 + 5 + 3 + 5);
    CHECK(survey.points.size() == 28 + 12 + 12);
    CHECK(survey.coded.size() == 12 + 12 + 5);
    REQUIRE(survey.outline.has_value());
    CHECK(survey.outline->source() == OutlineSource::point_codes);
    // A regular 12-gon squeezed to half axes 8 and 5: 6 sin(30 deg) a b = 3 a b = 120 m2 (derived).
    CHECK(survey.outline->area_m2() == doctest::Approx(120).epsilon(1e-4));
    REQUIRE(survey.breaklines.size() == 3);
    CHECK(survey.breaklines[0].code == "TOP1");
    CHECK(survey.breaklines[0].points.size() == 4);
    CHECK(survey.breaklines[1].points.size() == 5);
    CHECK(survey.breaklines[2].points.size() == 3);
    REQUIRE(survey.todays_hole.has_value());
    CHECK(survey.todays_hole->x == doctest::Approx(7.7));
    REQUIRE(survey.marks.size() == 3);
    CHECK(survey.marks[0].description == "sprinkler head, front left");
    CHECK(survey.marks[0].name == "54");
    CHECK(survey.marks[1].description == "drain");
    CHECK(survey.marks[2].description == "nail, by the path");
    CHECK(warns(survey, "1 point coded 'TREE' is not used as turf"));
}

TEST_CASE("edge points out of order are put round the middle with a warning, and two are no outline") {
    const Scratch scratch;
    write_file(scratch / "levels.csv", levels_csv(false));
    const Survey survey = read(scratch / "levels.csv");
    REQUIRE(survey.outline.has_value());
    CHECK(survey.outline->area_m2() == doctest::Approx(120).epsilon(1e-4));
    CHECK(warns(survey, "cross over"));

    Survey few;
    sort_levels({{{0, 0, 0}, "1", "EDGE", ""}, {{1, 0, 0}, "2", "EDGE", ""}}, true, few);
    CHECK_FALSE(few.outline.has_value());
    CHECK(warns(few, "only 2 points are coded as edge"));
}

TEST_CASE("strings of one edge are joined by their ends whichever way they were walked") {
    // Half of a square walked one way, the other half the same way round or back.
    for (bool back : {false, true}) {
        std::vector<RawLevel> levels;
        for (Vec2 p : {Vec2{0, 0}, {5, 0}, {10, 0}, {10, 5}, {10, 10}}) levels.push_back({{p.x, p.y, 0}, "", "EDGE1", ""});
        std::vector<Vec2> rest{{5, 10}, {0, 10}, {0, 5}};
        if (back) std::reverse(rest.begin(), rest.end());
        for (Vec2 p : rest) levels.push_back({{p.x, p.y, 0}, "", "EDGE2", ""});
        Survey survey;
        sort_levels(levels, true, survey);
        REQUIRE(survey.outline.has_value());
        CHECK(survey.outline->area_m2() == doctest::Approx(100));
    }
}

TEST_CASE("marks get names of their own, and an unknown code that all points bear is taken for ground") {
    Survey survey;
    sort_levels({{{0, 0, 0}, "", "SPR", ""}, {{1, 0, 0}, "", "SPR", ""}, {{2, 0, 0}, "A", "NAIL", ""}, {{3, 0, 0}, "A", "NAIL", ""}}, true, survey);
    REQUIRE(survey.marks.size() == 4);
    CHECK(survey.marks[0].name == "SPR1");
    CHECK(survey.marks[1].name == "SPR2");
    CHECK(survey.marks[2].name == "A");
    CHECK(survey.marks[3].name == "A-2");

    const Scratch scratch;
    std::string text;
    int n = 0;
    for (const Vec3& p : patch({0, 0}, 5)) text += fmt::format("{},{:.3f},{:.3f},{:.3f},OBS\n", ++n, p.x, p.y, p.z);
    write_file(scratch / "obs.csv", text);
    const Survey observed = read(scratch / "obs.csv");
    CHECK(observed.points.size() == 36);
    CHECK(warns(observed, "'OBS'"));
}
