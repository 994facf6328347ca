#include "plugins/green_setup/setup_plugin.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "plugins/green_setup/typed.h"
#include "tests/support/panel_bench.h"
#include "tests/support/process.h"
#include "tests/support/support.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>

using namespace brae;
using namespace brae::test;
using namespace brae::green_setup;
using K = plugin::ToolKey;

namespace {

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// The panel with a green, whose edits are done at once as the host does them.
struct Setup {
    Setup() { bench.open(gentle_green(), {14, 12}, {17, 12}); }
    PanelBench bench;
    SetupPlugin panel{bench.services};
    SetupModel& model() { return panel.model(); }
    std::string text(Part part) {
        model().show(part);
        bench.frames(panel);
        bench.jobs.run();
        const std::string words = bench.frames(panel);
        CHECK_FALSE(has(words, "nan"));
        CHECK(bench.content.x <= 340);
        return words;
    }
    // Answers the proposal as the host would; marks and zones reach the green.
    void answer(bool kept = true) {
        REQUIRE(!bench.edits.proposed.empty());
        const plugin::GreenEdit edit = bench.edits.proposed.back();
        bench.edits.proposed.clear();
        if (kept) {
            auto green = std::make_shared<Green>(*bench.document.state.green);
            if (edit.marks) green->marks = *edit.marks;
            if (edit.zones) green->zones = *edit.zones;
            if (edit.holes) green->holes = *edit.holes;
            if (edit.outline) green->terrain = std::make_shared<const TerrainModel>(with_outline(*green->terrain, *edit.outline));
            bench.document.state.green = green;
            ++bench.document.state.revision;
        }
        if (edit.answered) edit.answered(kept);
        panel.on_event(plugin::Event::green_changed);
    }
    BenchCanvas drawn() {
        BenchCanvas canvas;
        panel.draw_overlay(canvas);
        CHECK(canvas.bad == 0);
        return canvas;
    }
};

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

TEST_CASE("a new edge is drawn by clicks, closed by Enter and proposed by another Enter, with what it leaves outside named") {
    Setup s;
    auto green = std::make_shared<Green>(*s.bench.document.state.green);
    green->holes = {{"plan a", {23, 12}, "2026-05-02", "", false}, {"today", {14, 12}, "", "", true}};
    StoredStation station;
    station.station.label = "C";
    station.station.ball = {14, 21};
    station.station.hole = {14, 12};
    green->stations = {station};
    s.bench.document.state.green = green;
    s.bench.document.state.ball = Vec2{24, 12};

    s.model().outline.draw_new();
    REQUIRE(s.bench.tools.in_hand());
    for (Vec2 p : {Vec2{8, 6}, Vec2{20, 6}, Vec2{20, 17}, Vec2{8, 17}}) CHECK(s.bench.tools.click(p));
    CHECK(s.bench.tools.key(K::enter));
    CHECK(s.model().outline.area_m2() == doctest::Approx(132));
    CHECK(has(s.text(Part::outline), "132 m\u00b2"));
    CHECK(s.drawn().polygons == 1);
    CHECK(s.bench.tools.key(K::enter));
    REQUIRE(s.bench.edits.proposed.size() == 1);
    const plugin::GreenEdit& edit = s.bench.edits.proposed[0];
    CHECK(edit.ask);
    CHECK(edit.outline->size() == 4);
    for (const char* part : {"132 m\u00b2", "'plan a' of 2026-05-02", "station C", "they stay in the file", "The ball on show moves"}) CHECK_MESSAGE(has(edit.sentence, part), edit.sentence);
    CHECK(!has(edit.sentence, "today's ;"));

    // A no keeps the drawing; a yes ends it.
    s.answer(false);
    CHECK(s.model().outline.editor().ring().size() == 4);
    s.model().outline.keep();
    s.answer(true);
    CHECK(!s.model().outline.editor().busy());
    CHECK(!s.bench.tools.in_hand());
    CHECK(s.model().now().green->terrain->outline.area_m2() == doctest::Approx(132));
    CHECK(has(s.text(Part::outline), "drawn"));
}

TEST_CASE("an edge past the surface is drawn as far as the survey's data reach, says that the survey is read again, and stays until it was") {
    Setup s;
    auto green = std::make_shared<Green>(*s.bench.document.state.green);
    auto terrain = std::make_shared<TerrainModel>(*green->terrain);
    const Box box = terrain->outline.box();
    terrain->reach = {{box.x0 - 5, box.y0 - 5}, {box.x1 + 5, box.y0 - 5}, {box.x1 + 5, box.y1 + 5}, {box.x0 - 5, box.y1 + 5}};
    green->terrain = terrain;
    s.bench.document.state.green = green;
    OutlineModel& outline = s.model().outline;
    const auto draw = [&](double past) {
        outline.draw_new();
        for (Vec2 p : {Vec2{8, 6}, Vec2{box.x1 + past, 6}, Vec2{box.x1 + past, 17}, Vec2{8, 17}}) s.bench.tools.click(p);
        s.bench.tools.key(K::enter);
    };
    draw(3);
    CHECK(outline.past_surface());
    CHECK(!outline.fault());
    CHECK(has(s.text(Part::outline), "is read again when this becomes the edge"));
    const auto labels = s.drawn().labels;
    CHECK(std::find(labels.begin(), labels.end(), "the survey's data end here") != labels.end());
    outline.keep();
    REQUIRE(s.bench.edits.proposed.size() == 1);
    CHECK(has(s.bench.edits.proposed[0].sentence, "the survey is read again"));
    // The host has begun to read; the drawing is there until a new surface comes.
    s.bench.edits.proposed[0].answered(true);
    CHECK(outline.editor().busy());
    CHECK(has(s.text(Part::outline), "being read again"));
    s.panel.on_event(plugin::Event::green_opened);
    CHECK(!outline.editor().busy());
    CHECK(outline.message().empty());

    draw(8);
    CHECK(!outline.past_surface());
    s.bench.edits.proposed.clear();
    outline.keep();
    CHECK(s.bench.edits.proposed.empty());
    CHECK(has(s.text(Part::outline), "leaves the surveyed ground by 3.0"));
}

TEST_CASE("an edge is read from a file to be looked at and changed, and a file that holds none is told") {
    const Scratch scratch;
    Setup s;
    OutlineModel& outline = s.model().outline;
    std::ofstream(scratch / "edge.geojson") << R"({"type":"Polygon","coordinates":[[[8,6],[20,6],[20,17],[8,17],[8,6]]]})";
    std::ofstream(scratch / "none.geojson") << R"({"type":"Point","coordinates":[8,6]})";
    outline.read_from_file();
    REQUIRE(s.bench.files.chosen);
    s.bench.files.chosen(scratch / "none.geojson");
    s.bench.jobs.run();
    CHECK(!outline.editor().busy());
    CHECK(has(outline.message(), "none.geojson"));
    outline.read_from_file();
    s.bench.files.chosen(scratch / "edge.geojson");
    s.bench.jobs.run();
    CHECK(outline.editor().mode() == RingEditor::Mode::shaping);
    CHECK(outline.area_m2() == doctest::Approx(132));
    CHECK(s.bench.edits.proposed.empty());
    outline.keep();
    CHECK(s.bench.edits.proposed.size() == 1);
}

TEST_CASE("rings that can be no edge are refused with the reason and the place, and the drawing stays") {
    Setup s;
    OutlineModel& outline = s.model().outline;
    const auto draw = [&](std::initializer_list<Vec2> ring) {
        outline.draw_new();
        for (Vec2 p : ring) s.bench.tools.click(p);
        outline.keep();
    };
    draw({{8, 6}, {20, 17}, {20, 6}, {8, 17}});
    CHECK(has(s.text(Part::outline), "crosses itself at (14.00, 11.50)"));
    CHECK(outline.editor().ring().size() == 4);
    CHECK(s.drawn().labels.back() == "crosses itself");
    draw({{8, 6}, {20, 6}});
    CHECK(has(s.text(Part::outline), "2 corners; at least 3"));
    CHECK(outline.editor().ring().size() == 2);
    draw({{8, 6}, {9, 6}, {9, 7}});
    CHECK(has(s.text(Part::outline), "encloses 0.5 m\u00b2"));
    draw({{8, 6}, {60, 6}, {8, 17}});
    CHECK(has(s.text(Part::outline), "leaves the surveyed ground by"));
    CHECK(s.bench.edits.proposed.empty());
    // Typed corners: letters and NaN change nothing.
    outline.draw_new();
    for (const char* bad : {"here", "nan,3", "4", "4,", "1e9,2", "map:x,1", ""}) {
        outline.use_typed(bad);
        CHECK_MESSAGE(outline.editor().ring().empty(), bad);
        CHECK(!outline.message().empty());
    }
    outline.use_typed("8, 6.5");
    CHECK(outline.editor().ring().front() == Vec2{8, 6.5});
    CHECK(outline.message().empty());
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
    CHECK(has(s.text(Part::locate), "Measure again: the tape from D1 is off by 8"));
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
