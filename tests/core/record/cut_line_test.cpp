#include "core/record/cut_line.h"

#include "core/base/error.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"
#include "tests/support/refusal.h"

#include <fmt/format.h>

using namespace brae;
using namespace brae::test;

TEST_CASE("paces, tapes, points and skipped days are told apart, with speed, who and remark behind semicolons") {
    const CutLine paces = parse_cut_line("12 on, 4 left; speed 9.8 ft; by JM; a yard left of the scar; date 2026-05-02; wet");
    CHECK(paces.kind == CutLine::Kind::paces);
    CHECK(paces.on_m == doctest::Approx(12 * kPace));
    CHECK(paces.side_m == doctest::Approx(4 * kPace));
    CHECK(paces.side == GreenSide::left);
    CHECK(paces.speed_ft == 9.8);
    CHECK(paces.set_by == "JM");
    CHECK(paces.date == "2026-05-02");
    CHECK(paces.remark == "a yard left of the scar; wet");
    for (const char* same : {"4 right, 12.5 on", "12.5 on 4 right", " 12.5  ON ,  4 paces  Right ", "12.5on,4right", "12.5 yd on, 4 yd right"}) {
        CAPTURE(same);
        const CutLine line = parse_cut_line(same);
        CHECK(line.on_m == doctest::Approx(12.5 * kPace));
        CHECK(line.side_m == doctest::Approx(4 * kPace));
        CHECK(line.side == GreenSide::right);
    }
    CHECK(parse_cut_line("11 m on, 3.5 m left").on_m == 11);

    const CutLine tapes = parse_cut_line("S1=6.42 S2=8.13 left S3=5");
    CHECK(tapes.kind == CutLine::Kind::tapes);
    REQUIRE(tapes.tapes.size() == 3);
    CHECK(tapes.tapes[1] == std::pair<std::string, double>{"S2", 8.13});
    CHECK(tapes.tape_side == TapeSide::left);
    CHECK(parse_cut_line("drain cover=6, front head=7, right").tapes[0].first == "drain cover");

    CHECK(parse_cut_line("14.2, 9.7").point == Vec2{14.2, 9.7});
    const CutLine several = parse_cut_line("14,9 + 10 on, 3 left; speed 9");
    CHECK(several.point == Vec2{14, 9});
    REQUIRE(several.beside.size() == 1);
    CHECK(several.beside[0].on_m == doctest::Approx(10 * kPace));
    CHECK_THROWS_AS(parse_cut_line("14,9 + here"), Error);
    CHECK(parse_cut_line("map:1400, -9.7").map);
    CHECK(parse_cut_line("skipped: frost; by JM").reason == "frost");
    CHECK(parse_cut_line("Skipped standing water").reason == "standing water");
}

TEST_CASE("lines that say no place are refused with what was found and what is wanted") {
    for (const char* text : {"", ";", "12 on", "4 left", "12 on, 4 up", "12, 4 left", "x on, 4 left", "-3 on, 4 left", "12 on, 4 left, 3 right", "1,2,3", "nan,2", "hello", "900 on, 4 left"}) {
        CAPTURE(text);
        const std::string said = refusal([&] { parse_cut_line(text); });
        CHECK(holds(said, "12 on, 4 left"));
        CHECK(holds(said, "found"));
    }
    CHECK(holds(refusal([] { parse_cut_line("S1=6.42"); }), "one tape"));
    CHECK(holds(refusal([] { parse_cut_line("S1=6.42, S2=long"); }), "'S2=long' among the tapes"));
    CHECK(holds(refusal([] { parse_cut_line("skipped"); }), "without a reason"));
    CHECK(holds(refusal([] { parse_cut_line("1,2; speed 99"); }), "the speed '99'"));
    CHECK(holds(refusal([] { parse_cut_line("1,2; date yesterday"); }), "the date 'yesterday'"));
    CHECK(holds(refusal([] { parse_cut_line("1,2; \xff"); }), "no UTF-8"));
}

TEST_CASE("a line is found on the green: the place's own paces and tapes lead back to it") {
    Green green = sample_green();
    const Vec2 p{17, 13};
    // Tapes from the sample's marks, by their distances.
    const auto tape = [&](std::size_t k) { return distance({green.marks[k].p.x, green.marks[k].p.y}, p); };
    const CutPlace taped = place_of(parse_cut_line(fmt::format("s1={:.3f}, S2={:.3f}, S3={:.3f}", tape(0), tape(1), tape(2))), green);
    CHECK(distance(taped.p, p) < 0.005);
    CHECK(taped.loose_m == 0);
    const PlaceByPaces m = *place_by_paces(green.terrain->outline, *green.line_of_play, p);
    const CutPlace paced = place_of(parse_cut_line(fmt::format("{:.4f} m on, {:.4f} m {}", m.on_m, m.side_m(), to_text(m.side()))), green);
    CHECK(distance(paced.p, p) < 0.002);
    CHECK(paced.loose_m > 0.2);
    const Vec2 map = green.terrain->frame.to_map(p);
    CHECK(distance(place_of(parse_cut_line(fmt::format("map:{},{}", map.x, map.y)), green).p, p) < 1e-6);

    CHECK(holds(refusal([&] { place_of(parse_cut_line("S9=6, S2=7, left"), green); }), "has no mark 'S9'; its marks are S1, S2, S3"));
    CHECK(holds(refusal([&] { place_of(parse_cut_line("S1=1, S2=1, left"), green); }), "meet"));
    CHECK(holds(refusal([&] { place_of(parse_cut_line("1,2"), green); }), "m outside the green 'Dunlarrick 4'"));
    CHECK(holds(refusal([&] { place_of(parse_cut_line("60 on, 3 left"), green); }), "paces deep along its line of play"));
    green.line_of_play.reset();
    CHECK(holds(refusal([&] { place_of(parse_cut_line("12 on, 4 left"), green); }), "need the line of play"));
}

TEST_CASE("a file of a course takes date, who and speed from above each green and names the line that is wrong") {
    const auto lines = parse_course_lines("# Tuesday\ndate: 2026-05-02\nby: JM\nspeed: 10\n\n1: 12 on, 4 left\n2: skipped frost; by AB  # still white\nPractice green: 14,9; speed 9.5\n"
                                          "date: 2026-05-03\n1: 10 on, 4 left\n", "holes.txt");
    REQUIRE(lines.size() == 4);
    CHECK(lines[0].green == "1");
    CHECK(lines[0].line.date == "2026-05-02");
    CHECK(lines[0].line.set_by == "JM");
    CHECK(lines[0].line.speed_ft == 10);
    CHECK(lines[1].line.set_by == "AB");
    CHECK(lines[1].line.reason == "frost");
    CHECK(lines[2].green == "Practice green");
    CHECK(lines[2].line.speed_ft == 9.5);
    CHECK(lines[2].number == 8);
    CHECK(lines[3].line.date == "2026-05-03");
    const auto refused = [](const char* text) { return refusal([&] { parse_course_lines(text, "holes.txt"); }); };
    CHECK(holds(refused("1: 12 on, 4 left\n2 12 on\n"), "holes.txt, line 2: found '2 12 on', GREEN:"));
    CHECK(holds(refused("1: 12 on, 4 up\n"), "holes.txt, line 1: found '12 on, 4 up'"));
    CHECK(holds(refused("1: 1,2\n1: 3,4\n"), "line 2: the green '1' comes twice"));
    CHECK(holds(refused("date: 2 May\n"), "line 1: found the date '2 May'"));
    CHECK(holds(refused("# nothing\n"), "names no green"));
}
