#include "app/document/document.h"
#include "app/read/background.h"
#include "app/window/input_script.h"
#include "core/base/error.h"
#include "core/record/green_file.h"
#include "tests/support/demo_green.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::app;
using namespace brae::test;

TEST_CASE("a point off the green is refused and nothing changes") {
    Document d;
    CHECK(!d.put_ball({1, 1}));
    d.open(demo_green(), "demo.gpkg", false);
    const auto before = d.now().ball;
    CHECK(!d.put_ball({0, 0}));
    CHECK(!d.set_putt(Vec2{15, 11}, Vec2{500, 0}, std::nullopt));
    CHECK(!d.put_hole({std::nan(""), 1}));
    CHECK(d.now().ball == before);
    CHECK(!d.can_undo());
}

TEST_CASE("undo and redo walk through single steps, and a gesture is one of them") {
    Document d;
    d.open(demo_green(), "demo.gpkg", false);
    const Vec2 start = *d.now().ball;
    d.put_ball({10, 10});
    d.begin_gesture();
    for (int k = 1; k <= 20; ++k) d.put_ball({10 + 0.1 * k, 10});
    d.end_gesture();
    d.set_green_speed(11);
    d.undo();
    CHECK(d.now().green_speed_ft == 10);
    d.undo();
    CHECK(*d.now().ball == Vec2{10, 10});
    d.undo();
    CHECK(*d.now().ball == start);
    CHECK(!d.can_undo());
    for (int k = 0; k < 3; ++k) d.redo();
    CHECK(*d.now().ball == Vec2{12, 10});
    CHECK(d.now().green_speed_ft == 11);
    CHECK(!d.can_redo());
}

TEST_CASE("a confirmed edit raises the revision, and its undo raises it again with the old content") {
    Document d;
    d.open(demo_green(), "demo.gpkg", false);
    const auto revision = d.revision();
    plugin::GreenEdit edit;
    edit.add_holes.push_back({"plan a", {12, 9}, "", "", true});
    d.apply(edit);
    CHECK(d.now().green->holes.size() == 2);
    CHECK(d.now().green->revision == 2);
    CHECK(d.now().green->todays_hole()->name == "plan a");
    CHECK(d.revision() == revision + 1);
    d.undo();
    CHECK(d.now().green->holes.size() == 1);
    CHECK(d.now().green->revision == 3);
    CHECK(d.revision() == revision + 2);
}

TEST_CASE("a new outline is one step: the surface stays, ball and hole come onto the green, and undo brings the old edge and both back") {
    const Scratch scratch;
    Progress progress;
    write_green_file(demo_green(), scratch / "demo.gpkg", progress);
    Document d;
    d.open(read_green_file(scratch / "demo.gpkg"), scratch / "demo.gpkg", true);
    d.put_ball({26, 11});
    d.put_hole({25, 12});
    const auto before = d.now();
    plugin::GreenEdit edit;
    edit.outline = std::vector<Vec2>{{8, 6}, {20, 6}, {20, 16}, {8, 16}};
    d.apply(edit);
    const Outline& outline = d.now().green->terrain->outline;
    CHECK(outline.area_m2() == doctest::Approx(120));
    CHECK(d.now().green->terrain->surface == before.green->terrain->surface);
    CHECK(outline.contains(*d.now().hole));
    CHECK(outline.contains(*d.now().ball));
    CHECK(d.now().green->surface_revision == before.green->surface_revision);
    CHECK(read_green_file(scratch / "demo.gpkg").terrain->outline.ring() == outline.ring());

    // One undo for all of it, in the file as well.
    d.undo();
    CHECK(d.now().green->terrain->outline.ring() == before.green->terrain->outline.ring());
    CHECK(d.now().ball == before.ball);
    CHECK(d.now().hole == before.hole);
    CHECK(read_green_file(scratch / "demo.gpkg").terrain->outline.ring() == before.green->terrain->outline.ring());
    d.redo();
    CHECK(d.now().green->terrain->outline.area_m2() == doctest::Approx(120));
    CHECK(read_green_file(scratch / "demo.gpkg").revision == d.now().green->revision);
}

TEST_CASE("an edit that cannot be is refused whole, also of a green that no file holds") {
    Document d;
    d.open(demo_green(), "demo.gpkg", false);
    const auto before = d.now().green;
    plugin::GreenEdit edit;
    edit.zones = std::vector<Zone>{{"seam", "worn", {{8, 8}, {9, 8}, {9, 9}}, ""}};
    edit.outline = std::vector<Vec2>{{8, 6}, {20, 16}, {20, 6}, {8, 16}};
    CHECK_THROWS_AS(d.apply(edit), Error);
    edit.outline.reset();
    edit.marks = std::vector<ReferenceMark>{{"S1", "", {1, 1, 0}}, {"S1", "", {2, 2, 0}}};
    CHECK_THROWS_AS(d.apply(edit), Error);
    CHECK(d.now().green == before);
    CHECK(!d.can_undo());
    edit.marks = std::vector<ReferenceMark>{{"S1", "", {1, 1, 0}}};
    edit.holes = std::vector<StoredHole>{};
    d.apply(edit);
    CHECK(d.now().green->marks.size() == 1);
    CHECK(d.now().green->holes.empty());
    CHECK(d.now().green->zones.size() == 1);
}

TEST_CASE("a zone that is drawn as a gate becomes a gate at once") {
    Document d;
    d.open(demo_green(), "demo.gpkg", false);
    const std::size_t gates = d.now().green->gates.size();
    plugin::GreenEdit edit;
    edit.zones = std::vector<Zone>{{"seam", "worn", {{8, 8}, {9, 8}, {9, 9}}, ""}, {"by the oak", "gate", {{18, 8}, {20, 8}, {19, 11}}, ""}};
    d.apply(edit);
    CHECK(d.now().green->zones.size() == 1);
    REQUIRE(d.now().green->gates.size() == gates + 1);
    CHECK(d.now().green->gates.back().name == "by the oak");
    CHECK(distance(d.now().green->gates.back().p, {19, 9}) < 1e-9);
}

TEST_CASE("line of play, gates and skipped days are put on a green and taken back as one step") {
    Document d;
    d.open(demo_green(), "demo.gpkg", false);
    plugin::GreenEdit edit;
    edit.line_of_play = line_of_play_towards(90);
    edit.gates = std::vector<Gate>{{"gate 1", {26, 12}}};
    edit.skipped = std::vector<SkippedDay>{{"2026-05-03", "frost", "JM"}};
    d.apply(edit);
    CHECK(d.now().green->line_of_play == line_of_play_towards(90));
    CHECK(d.now().green->gates.size() == 1);
    CHECK(d.now().green->skipped.size() == 1);
    // What an edit does not name stays; an empty line takes it away.
    d.apply({});
    CHECK(d.now().green->line_of_play);
    plugin::GreenEdit none;
    none.line_of_play.emplace();
    d.apply(none);
    CHECK_FALSE(d.now().green->line_of_play);
    d.undo();
    CHECK(d.now().green->line_of_play);
}

TEST_CASE("speed and pace stay within what the program accepts") {
    Document d;
    d.open(demo_green(), "demo.gpkg", false);
    d.set_green_speed(40);
    CHECK(d.now().green_speed_ft == kFastestGreenFt);
    d.set_green_speed(std::nan(""));
    CHECK(d.now().green_speed_ft == kFastestGreenFt);
    d.set_past(-1);
    CHECK(d.now().past_m == 0);
}

TEST_CASE("of two jobs with one key only the later is taken in, on the caller's thread") {
    Background b;
    int got = 0;
    for (int k = 1; k <= 2; ++k)
        b.start("x", "", false, [k, &got](Progress&) -> Background::TakeIn { return [k, &got] { got += k; }; });
    b.wait_all();
    CHECK(got == 2);
}

TEST_CASE("a job that throws reports one sentence, and a stale one reports nothing") {
    Background b;
    std::string said;
    bool wanted = true;
    const auto fail = [](Progress&) -> Background::TakeIn { throw Error("the file is not a green"); };
    b.start("x", "", false, fail, [&](const std::string& s) { said = s; });
    b.wait_all();
    CHECK(said == "the file is not a green");
    said.clear();
    b.start("x", "", false, fail, [&](const std::string& s) { said = s; }, [&] { return wanted; });
    wanted = false;
    b.wait_all();
    CHECK(said.empty());
}

TEST_CASE("cancel_and_wait ends running work by its next step") {
    Background b;
    bool taken = false;
    b.start("plugin/a/x", "", false, [&](Progress& p) -> Background::TakeIn {
        for (;;) p.step(0.5);
        return [&] { taken = true; };
    });
    b.cancel_and_wait("plugin/a/");
    b.take_in();
    CHECK(!taken);
    CHECK(!b.busy());
}

TEST_CASE("recorded input says which line it does not understand") {
    CHECK_NOTHROW(InputScript::parse("# remark\nmove 3 4\nkey B ctrl\nkey Enter\nkey Delete shift\ndouble left\ntype 12.5, 8\nwait 2\nidle\n", "s"));
    for (const char* bad : {"type", "type   ", "key Return", "key", "double", "double thumb", "key B alt"}) CHECK_THROWS_AS(InputScript::parse(bad, "s"), Error);
    try {
        InputScript::parse("move 3 4\npres left\n", "s.txt");
        FAIL("taken");
    } catch (const Error& e) {
        CHECK(std::string(e.what()).find("s.txt, line 2") != std::string::npos);
    }
}

TEST_CASE("a reading of the green speed is kept, becomes that of the day, and one undo takes both back") {
    Scratch scratch;
    const Green green = demo_green();
    Progress progress;
    write_green_file(green, scratch / "demo.gpkg", progress);
    Document d;
    d.open(green, scratch / "demo.gpkg", true);
    const double before = d.now().green_speed_ft;
    const std::size_t readings = d.now().green->speeds.size();
    plugin::GreenEdit edit;
    edit.add_speeds.push_back({8.7, 0.2, "2026-05-02", "6 rolled balls"});
    d.apply(edit);
    CHECK(d.now().green_speed_ft == 8.7);
    REQUIRE(read_green_file(scratch / "demo.gpkg").speeds.size() == readings + 1);
    CHECK(read_green_file(scratch / "demo.gpkg").speeds.back().method == "6 rolled balls");
    d.undo();
    CHECK(d.now().green_speed_ft == before);
    CHECK(read_green_file(scratch / "demo.gpkg").speeds.size() == readings);
}
