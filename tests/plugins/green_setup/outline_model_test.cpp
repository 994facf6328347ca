// The edge of a green drawn, changed and read from a file in the panel.
#include "plugins/green_setup/outline_model.h"

#include "tests/plugins/green_setup/setup_bench.h"
#include "tests/support/support.h"

#include <algorithm>
#include <fstream>

using namespace brae;
using namespace brae::test;

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
    // Until it is answered another Enter asks nothing more.
    s.bench.tools.key(K::enter);
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
