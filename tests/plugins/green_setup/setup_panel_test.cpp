#include "core/record/hole_question.h"
#include "plugins/green_setup/setup_plugin.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "plugins/green_setup/typed.h"
#include "tests/plugins/green_setup/setup_bench.h"
#include "tests/support/process.h"
#include "tests/support/support.h"

#include <algorithm>
#include <fmt/format.h>

using namespace brae;
using namespace brae::test;
using namespace brae::green_setup;

namespace {

std::string refused(const std::function<void()>& act) {
    try {
        act();
    } catch (const Error& e) {
        return e.what();
    }
    return "";
}

}  // namespace

TEST_CASE("the panel draws three frames without a green and asks for one, and every part of it with one") {
    PanelBench bench;
    SetupPlugin panel(bench.services);
    CHECK(has(bench.frames(panel), "Open a green"));
    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(canvas.lines + canvas.markers == 0);
    Setup s;
    CHECK(has(s.text(Part::outline), "Change it"));
    CHECK(has(s.text(Part::marks), "Can be taped"));
    CHECK(has(s.text(Part::locate), "Distances in metres"));
    CHECK(has(s.text(Part::zones), "No zones"));
    s.bench.document.state.units = plugin::Units::feet;
    CHECK(has(s.text(Part::outline), "ft\u00b2"));
    CHECK(has(s.text(Part::locate), "Distances in feet"));
}

TEST_CASE("Escape puts the tool down and keeps the drawing, which goes on where it was") {
    Setup s;
    s.model().outline.shape_present();
    CHECK(s.bench.tools.drag({27, 12}, {25, 12}));
    CHECK(s.model().outline.editor().changed());
    s.bench.tools.put_down();
    CHECK(has(s.text(Part::outline), "Go on with the corners"));
    s.model().outline.take_tool();
    CHECK(s.bench.tools.key(K::undo));
    CHECK(!s.model().outline.editor().changed());
}

TEST_CASE("marks are added, renamed, moved and taken away, each as one edit that is not asked about") {
    Setup s;
    MarksModel& marks = s.model().marks;
    marks.form() = {"N1", "nail", "20.5, 3", ""};
    marks.store_form();
    REQUIRE(s.bench.edits.proposed.size() == 1);
    CHECK(!s.bench.edits.proposed[0].ask);
    s.answer();
    REQUIRE(marks.marks().size() == 4);
    CHECK(marks.marks()[3].p.x == 20.5);
    CHECK(std::isfinite(marks.marks()[3].p.z));
    CHECK(has(s.text(Part::marks), "N1"));

    // A rename alone keeps the place to the last digit.
    marks.select(3);
    const Vec3 place = marks.marks()[3].p;
    marks.form().name = "N2";
    marks.store_form();
    s.answer();
    CHECK(marks.marks()[3].name == "N2");
    CHECK(marks.marks()[3].p == place);
    CHECK(marks.selected() == 3u);

    // A click moves it.
    marks.click_to_move();
    CHECK(s.bench.tools.click({21, 2}));
    s.answer();
    CHECK(marks.marks()[3].p.x == 21);
    CHECK(!s.bench.tools.in_hand());
    marks.remove_selected();
    s.answer();
    CHECK(marks.marks().size() == 3);
    CHECK(!marks.selected());
    // A click for a new one fills the form first, with a free name.
    marks.click_to_add();
    CHECK(s.bench.tools.click({-1, 12}));
    CHECK(marks.form().place == "-1.00, 12.00");
    CHECK(marks.form().name == "M1");
    marks.store_form();
    s.answer();
    CHECK(marks.marks().back().name == "M1");
}

TEST_CASE("a mark of a name that is taken, without a place, of letters or too near another is refused and the form stays") {
    Setup s;
    MarksModel& marks = s.model().marks;
    const auto refuse = [&](const MarkForm& form, const char* part) {
        marks.select(std::nullopt);
        marks.form() = form;
        marks.store_form();
        CHECK_MESSAGE(has(marks.message(), part), marks.message());
        CHECK(marks.form().place == form.place);
        CHECK(s.bench.edits.proposed.empty());
    };
    refuse({"S1", "", "8, 8", ""}, "a mark 'S1' already");
    refuse({"N1", "", "", ""}, "is no place");
    refuse({"N1", "", "left, right", ""}, "is no place");
    refuse({"N1", "", "nan, 4", ""}, "is no place");
    refuse({"N1", "", "8, 8", "high"}, "is no height");
    refuse({"N1", "", "2.01, 3.01", ""}, "at least 5 cm apart");
    refuse({"N1", "", "900, 3", ""}, "outside the green");
    refuse({std::string(40, 'x'), "", "8, 8", ""}, "40 letters");
}

TEST_CASE("the panel says when marks are too few, and a green without any asks for them") {
    Setup s;
    auto green = std::make_shared<Green>(*s.bench.document.state.green);
    green->marks.clear();
    s.bench.document.state.green = green;
    ++s.bench.document.state.revision;
    CHECK(has(s.text(Part::marks), "No reference marks yet. At least three are wanted"));
    CHECK(has(s.text(Part::locate), "no reference marks yet"));
    CHECK(s.drawn().circles == 0);
    green = std::make_shared<Green>(*green);
    green->marks = {{"A", "", {0, 12, 100}}, {"B", "", {14, 0, 100}}};
    s.bench.document.state.green = green;
    ++s.bench.document.state.revision;
    const std::string words = s.text(Part::marks);
    CHECK(has(words, "Two reference marks. At least three are wanted"));
    CHECK(has(words, "would help most"));
    CHECK(s.drawn().labels.back() == "a mark near here would help most");
}

TEST_CASE("a list of marks is read through the file dialog and asked about") {
    Setup s;
    const Scratch scratch;
    write_file(scratch / "marks.csv", "name,easting,northing,height,description\nS1,2,3,100,sprinkler head\nN5,21,3,100.1,nail\n");
    s.model().marks.import_file();
    REQUIRE(s.bench.files.chosen);
    s.bench.files.chosen(scratch / "marks.csv");
    s.bench.jobs.run();
    REQUIRE(s.bench.edits.proposed.size() == 1);
    CHECK(has(s.bench.edits.proposed[0].sentence, "1 new mark from marks.csv"));
    s.answer();
    CHECK(s.model().marks.marks().back().name == "N5");
    s.bench.files.chosen(scratch / "none.csv");
    s.bench.jobs.run();
    CHECK(has(s.model().marks.message(), "none.csv"));
}

// The place is invented; its distances to the marks are by Pythagoras.
TEST_CASE("two tapes and a side give the place, both crossings are drawn, and the hole is kept as the verb keeps it") {
    Setup s;
    LocateModel& locate = s.model().locate;
    const Vec2 p{14.3, 12.6}, s1{2, 3}, s2{25, 4}, d1{12, 24};
    locate.tapes() = {TapeRow{"S1", fmt::format("{:.3f}", distance(p, s1))}, TapeRow{"S2", fmt::format("{:.3f}", distance(p, s2))}};
    CHECK(has(s.text(Part::locate), "meet in two places"));
    CHECK(!locate.located().fix);
    BenchCanvas both = s.drawn();
    CHECK(both.circles == 2);
    CHECK(std::count(both.labels.begin(), both.labels.end(), "left") == 1);
    CHECK(std::count(both.labels.begin(), both.labels.end(), "right") == 1);
    locate.set_side(TapeSide::left);
    REQUIRE(locate.located().fix);
    CHECK(distance(locate.located().fix->p, p) < 0.002);
    CHECK(has(s.text(Part::locate), "no check") == false);
    CHECK(has(s.text(Part::locate), "No check"));

    // A check that fits, and one that does not.
    locate.checks()[0] = {"D1", fmt::format("{:.2f}", distance(p, d1))};
    REQUIRE(locate.located().fix);
    CHECK(*locate.located().fix->residual_m < 0.006);
    locate.checks()[0].reading = fmt::format("{:.2f}", distance(p, d1) + 0.08);
    CHECK(has(s.text(Part::locate), "Measure again: the tapes disagree, that from D1 by 8"));
    locate.hole_is_here();
    CHECK(s.bench.edits.proposed.empty());
    locate.checks()[0].reading.clear();

    locate.hole_is_here();
    REQUIRE(s.bench.edits.proposed.size() == 1);
    const StoredHole hole = s.bench.edits.proposed[0].holes->back();
    CHECK((hole.today && hole.name == "today" && hole.set_by == "taped"));
    CHECK(day_from(hole.date) == hole.date);
    CHECK(hole.date.size() == 10);
    s.answer();
    CHECK(distance(*s.bench.document.state.hole, p) < 0.002);
    locate.ball_is_here();
    CHECK(distance(*s.bench.document.state.ball, p) < 0.002);
}

TEST_CASE("what is no reading, tapes that cannot meet, one mark twice and a flat crossing are told and lose nothing") {
    Setup s;
    LocateModel& locate = s.model().locate;
    const auto told = [&](const char* a, const char* one, const char* b, const char* two, const char* part) {
        locate.tapes() = {TapeRow{a, one}, TapeRow{b, two}};
        locate.set_side(TapeSide::left);
        CHECK_MESSAGE(has(locate.located().sentence, part), locate.located().sentence);
        CHECK(!locate.located().fix);
        CHECK(locate.tapes()[0].reading == one);
        CHECK_FALSE(has(s.text(Part::locate), "nan"));
        s.drawn();
    };
    told("S1", "far", "S2", "5", "'far' is no tape reading");
    told("S1", "NaN", "S2", "5", "'NaN' is no tape reading");
    told("S1", "-4", "S2", "5", "above zero");
    told("S1", "400", "S2", "5", "at most 100 m");
    told("S1", "5", "S2", "5", "do not meet");
    told("S1", "5", "S1", "5", "both tapes start at S1");
    told("S1", "12", "S2", "", "measure from S2");
    // Seen from (14, 3.4), S1 and S2 stand on opposite sides: too flat, and D1 is named for a better pair.
    told("S1", "12.1", "S2", "11.02", "so measure from");
    CHECK(has(locate.located().sentence, "D1"));
    // The mirror image of a place off the green: the sentence says that the other side lies on it.
    locate.tapes() = {TapeRow{"S1", "12"}, TapeRow{"S2", "13"}};
    locate.set_side(TapeSide::right);
    CHECK(has(locate.located().sentence, "outside the green"));
    CHECK(has(locate.located().sentence, "the other side lies on it"));
    // A place off the green is no place for a hole.
    locate.tapes() = {TapeRow{"S1", "3"}, TapeRow{"D1", "20.6"}};
    locate.set_side(TapeSide::left);
    CHECK((locate.located().outside_m || !locate.located().fix));
    locate.hole_is_here();
    CHECK(s.bench.edits.proposed.empty());
}

TEST_CASE("readings keep their length when the window changes its units, and name other units themselves") {
    Setup s;
    LocateModel& locate = s.model().locate;
    locate.tapes() = {TapeRow{"S1", "15.24"}, TapeRow{"S2", "what"}};
    s.bench.document.state.units = plugin::Units::feet;
    s.panel.on_event(plugin::Event::units_changed);
    CHECK(locate.tapes()[0].reading == "50.00");
    CHECK(locate.tapes()[1].reading == "what");
    const auto m = [](const char* text, plugin::Units units) { return length_from(text, units); };
    using U = plugin::Units;
    CHECK(m("6.42", U::metric) == doctest::Approx(6.42));
    CHECK(m("642 cm", U::feet) == doctest::Approx(6.42));
    CHECK(m("10", U::feet) == doctest::Approx(3.048));
    for (const char* same : {"21' 3\"", "21 ft 3 in", "21ft3in"}) CHECK(m(same, U::metric) == doctest::Approx(21.25 * 0.3048));
    for (const char* bad : {"", "6.4.2", "6,42", "six", "inf", "0", "-1", "6 7", "6 m 7 m 8 m", "1e5", "6 yd"})
        CHECK_MESSAGE(!refused([&] { length_from(bad, U::metric); }).empty(), bad);
}

TEST_CASE("a zone is drawn, named, dated, kept, changed and taken away") {
    Setup s;
    ZonesModel& zones = s.model().zones;
    s.model().show(Part::zones);
    zones.draw_new();
    for (Vec2 p : {Vec2{8, 8}, Vec2{12, 8}, Vec2{12, 11}}) CHECK(s.bench.tools.click(p));
    CHECK(s.bench.tools.click({12, 11}, true));
    zones.form().kind = 1;
    zones.form().until = "2026-02-30";
    zones.store();
    CHECK(has(zones.message(), "no day of the calendar"));
    CHECK(zones.editor().ring().size() == 3);
    zones.form().until = "2026-06-01";
    CHECK(s.bench.tools.key(K::enter));
    s.answer();
    REQUIRE(zones.zones().size() == 1);
    CHECK(zones.zones()[0].name == "Zone 1");
    CHECK(zones.zones()[0].kind == "worn");
    CHECK(zones.zones()[0].until == "2026-06-01");
    CHECK(has(s.text(Part::zones), "6.0 m\u00b2"));
    CHECK(s.drawn().labels.front() == "Zone 1, worn until 2026-06-01");

    zones.select(0);
    zones.form().name = "seam";
    zones.form().until = "";
    zones.shape_selected();
    CHECK(s.bench.tools.drag({12, 11}, {12, 12}));
    zones.store();
    s.answer();
    CHECK(zones.zones()[0].name == "seam");
    CHECK(zones.zones()[0].until.empty());
    CHECK(zones.zones()[0].ring[2].y == doctest::Approx(12));
    zones.select(0);
    zones.remove_selected();
    s.answer();
    CHECK(zones.zones().empty());
}

TEST_CASE("every kind of zone that the green file knows is drawn; bunkers, water and banks lie beside the green as well and hold for good") {
    Setup s;
    ZonesModel& zones = s.model().zones;
    s.model().show(Part::zones);
    // A green of 13 by 11 m round (14, 12): its edge is at y = 1 in the south.
    int number = 0;
    for (int kind = 0; kind < static_cast<int>(kZoneKinds.size()); ++kind) {
        const bool beside = !kZoneKinds[static_cast<std::size_t>(kind)].on_green;
        zones.draw_new();
        for (Vec2 p : {Vec2{12, -1}, Vec2{16, -1}, Vec2{16, -3}}) CHECK(s.bench.tools.click(p));
        zones.form().kind = kind;
        zones.form().until = "2026-06-01";
        zones.store();
        if (!beside) {
            CHECK(has(zones.message(), "outside the green"));
            CHECK(s.bench.edits.proposed.empty());
            continue;
        }
        s.answer();
        REQUIRE(zones.zones().size() == static_cast<std::size_t>(++number));
        CHECK(zones.zones().back().kind == kZoneKinds[static_cast<std::size_t>(kind)].name);
        CHECK(zones.zones().back().until.empty());
        zones.select(zones.zones().size() - 1);
        const std::string words = s.text(Part::zones);
        CHECK(has(words, kZoneKinds[static_cast<std::size_t>(kind)].means));
        CHECK_FALSE(has(words, "Until: "));
    }
    CHECK(number == 3);
    // The planners of holes take them as such: all guard the edge; none of them closes ground.
    const HoleQuestion question = hole_question(*s.bench.document.state.green, "2026-05-02", 0);
    CHECK(question.around.guards.size() == 3);
    CHECK(question.around.closed.empty());
    // One that is drawn at the other end of the course is a slip.
    zones.draw_new();
    for (Vec2 p : {Vec2{12, -30}, Vec2{16, -30}, Vec2{16, -33}}) s.bench.tools.click(p);
    zones.form().kind = 3;
    zones.store();
    CHECK(has(zones.message(), "the bunker lies 31 m from the edge"));
    CHECK(zones.editor().ring().size() == 3);
    // Made into a kind of the green itself, the same ring is judged anew.
    zones.form().kind = 0;
    zones.store();
    CHECK(has(zones.message(), "outside the green"));
}

TEST_CASE("zones that cross themselves, lie off the green, enclose nothing or bear a name twice are refused") {
    Setup s;
    ZonesModel& zones = s.model().zones;
    const auto draw = [&](std::initializer_list<Vec2> ring) {
        zones.draw_new();
        for (Vec2 p : ring) s.bench.tools.click(p);
        zones.store();
        CHECK(s.bench.edits.proposed.empty());
    };
    draw({{8, 8}, {12, 12}, {12, 8}, {8, 12}});
    CHECK(has(zones.message(), "crosses itself"));
    CHECK(zones.editor().ring().size() == 4);
    draw({{100, 100}, {104, 100}, {104, 104}});
    CHECK(has(zones.message(), "outside the green"));
    draw({{8, 8}, {8.1, 8}, {8.1, 8.1}});
    CHECK(has(zones.message(), "encloses"));
    draw({{8, 8}, {9, 9}});
    CHECK(has(zones.message(), "2 corners"));
    // One that holds the whole green is a zone.
    zones.draw_new();
    for (Vec2 p : {Vec2{-10, -10}, Vec2{50, -10}, Vec2{50, 50}, Vec2{-10, 50}}) s.bench.tools.click(p);
    zones.store();
    s.answer();
    zones.draw_new();
    for (Vec2 p : {Vec2{8, 8}, Vec2{12, 8}, Vec2{12, 11}}) s.bench.tools.click(p);
    zones.form().name = "Zone 1";
    zones.store();
    CHECK(has(zones.message(), "a zone 'Zone 1' already"));
}

TEST_CASE("another green clears what was drawn and typed") {
    Setup s;
    s.model().outline.draw_new();
    s.bench.tools.click({8, 8});
    s.model().marks.form().name = "N9";
    s.model().locate.tapes()[0] = {"S1", "4"};
    s.panel.on_event(plugin::Event::green_opened);
    CHECK(!s.model().outline.editor().busy());
    CHECK(s.model().marks.form().name.empty());
    CHECK(s.model().locate.tapes()[0].reading.empty());
}

TEST_CASE("days are days of the calendar") {
    CHECK(day_from("2028-02-29") == "2028-02-29");
    CHECK(day_from("  ").empty());
    for (const char* bad : {"2026-02-29", "2026-2-3", "soon", "2026-13-01", "2026/05/02", "2026-05-021"}) CHECK_MESSAGE(!refused([&] { day_from(bad); }).empty(), bad);
}
