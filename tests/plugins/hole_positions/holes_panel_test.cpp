#include "plugins/hole_positions/holes_plugin.h"

#include "core/base/units.h"
#include "core/plan/hole_settings.h"
#include "tests/support/holes_bench.h"
#include "tests/support/support.h"

#include <algorithm>
#include <cmath>
#include <functional>

using namespace brae;
using namespace brae::test;
using hole_positions::HolesPlugin;
using hole_positions::Part;

TEST_CASE("the panel draws three frames without a green and asks for one") {
    PanelBench bench;
    HolesPlugin panel(bench.services);
    CHECK(has(bench.frames(panel), "Open a green"));
    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(canvas.rasters == 0);
}

TEST_CASE("the button finds positions, the list shows three first with why, the overlay draws map and places") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    panel.model().date = "2026-05-02";
    bench.open(gentle_green(), {14, 12}, {17, 12});
    REQUIRE(bench.click(panel, "Find fair positions"));
    bench.jobs.run();
    const auto* found = panel.model().found();
    REQUIRE(found);
    REQUIRE(found->best.size() >= 3);
    bench.frames(panel);
    bench.jobs.run();   // the judgement of the hole on show, and up to which speed
    const std::string text = bench.frames(panel);
    CHECK(has(text, "places are fair at 10.0 ft"));
    CHECK(has(text, "Where to measure the speed"));
    CHECK(has(text, "greenkeeper decides"));
    CHECK(has(text, "re-entry time"));
    CHECK_FALSE(has(text, "nan"));
    CHECK(bench.content.x <= 340);
    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(canvas.bad == 0);
    CHECK(canvas.rasters == 1);
    CHECK(canvas.markers == static_cast<int>(found->best.size()));
    // The fair area alone is coloured.
    int coloured = 0;
    for (double v : canvas.last_raster->values)
        if (!std::isnan(v)) {
            ++coloured;
            CHECK((v >= 0 && v <= 1));
        }
    CHECK(coloured == static_cast<int>(found->judged.fair));
    // Every criterion has its map; the same pointer comes back, so that nothing is uploaded twice.
    for (const HoleCriterionName& n : hole_criterion_names()) {
        panel.model().set_map(n.name);
        CHECK(panel.model().map_raster() == panel.model().map_raster());
        BenchCanvas other;
        bench.frame(panel);
        panel.draw_overlay(other);
        CHECK(other.rasters == 1);
    }
    panel.model().set_map("");
    BenchCanvas none;
    bench.frame(panel);
    panel.draw_overlay(none);
    CHECK(none.rasters == 0);
    // Another speed: said to be stale, and nothing is worked out unasked.
    bench.document.state.green_speed_ft = 12;
    CHECK(has(bench.frames(panel), "Look again before a hole is cut"));
}

TEST_CASE("why and why not are told for the hole, under the mouse anywhere, and live for a hole that is moved") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    panel.model().date = "2026-05-02";
    bench.open(gentle_green(), {14, 12}, {17, 12});
    CHECK(has(bench.frames(panel), "Balls are rolled"));
    bench.jobs.run();
    CHECK(has(bench.frames(panel), "Fair by every limit"));
    bench.jobs.run();
    CHECK(has(bench.frames(panel), "This hole is fair"));
    panel.model().set_judge_cursor(true);
    CHECK(has(bench.frames(panel), "Move the mouse"));
    bench.document.state.cursor = Vec2{14, 22};
    bench.frames(panel);
    bench.jobs.run();
    const std::string edge = bench.frames(panel);
    CHECK(has(edge, "Not fair"));
    CHECK(has(edge, "edge fails"));
    CHECK(bench.jobs.waiting.empty());

    // Dragged to the edge the verdict follows; the arrows take it back; Enter asks, Escape leaves everything.
    panel.model().set_judge_cursor(false);
    panel.model().move_hole();
    REQUIRE(bench.tools.tool);
    bench.tools.drag({14, 12}, {14, 22.2});
    bench.frames(panel);
    bench.jobs.run();
    CHECK(has(bench.frames(panel), "edge fails"));
    // Its criteria stand above the list then, so that they are seen without scrolling.
    panel.model().find();
    bench.jobs.run();
    const std::string moving = bench.frames(panel);
    CHECK(moving.find("Why, why not") < moving.find("Positions"));
    for (int k = 0; k < 9; ++k) bench.tools.key(plugin::ToolKey::down, true);
    CHECK(panel.model().trial()->y == doctest::Approx(13.2));
    bench.tools.key(plugin::ToolKey::left);
    CHECK(panel.model().trial()->x == doctest::Approx(13.9));
    bench.frames(panel);
    bench.jobs.run();
    CHECK(has(bench.frames(panel), "Fair by every limit"));
    // Never off the green.
    bench.tools.drag({14, 12}, {14, 60});
    CHECK(bench.document.state.green->terrain->outline.contains(*panel.model().trial()));
    bench.tools.key(plugin::ToolKey::enter);
    REQUIRE(bench.edits.proposed.size() == 1);
    CHECK(bench.last().holes->back().today);
    CHECK(bench.last().holes->back().date == "2026-05-02");
    bench.tools.put_down();
    CHECK_FALSE(panel.model().trial());
}

TEST_CASE("no fair place is told with the limit that is closest") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    bench.open(green_of(tilted(0.06, {0, -1}), ellipse({14, 12}, 12, 11)), {14, 12}, {17, 12});
    panel.model().find();
    bench.jobs.run();
    REQUIRE(panel.model().found());
    CHECK(panel.model().found()->best.empty());
    CHECK_FALSE(panel.model().found()->why_none.empty());
    CHECK(has(bench.frames(panel), panel.model().found()->why_none.substr(5, 30)));
}

TEST_CASE("the hole as it was cut is typed, shown, kept and becomes today's; wrong lines say why and keep nothing") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    auto& cut = panel.parts().cut;
    bench.open(gentle_green(), {14, 12}, {17, 12});
    panel.parts().show(Part::cut);
    cut.date = "2026-05-02";
    cut.line = "12 on, 6 left";
    CHECK(has(bench.frames(panel), "need the line of play"));
    bench.change([](Green& g) { g.line_of_play = line_of_play_towards(0); });
    CHECK(has(bench.frames(panel), "12 on, 6 left, middle left ("));
    REQUIRE(cut.preview().ready);
    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(std::find(canvas.labels.begin(), canvas.labels.end(), "as cut") != canvas.labels.end());
    CHECK(std::find(canvas.labels.begin(), canvas.labels.end(), "line of play") != canvas.labels.end());
    cut.line += "; speed 9.5; scar";
    cut.keep();
    REQUIRE(bench.edits.proposed.size() == 1);
    const Vec2 place = bench.last().holes->back().p;
    bench.confirm(bench.last());
    CHECK(bench.document.state.hole == place);
    CHECK(bench.document.state.green->todays_hole()->as_cut);
    CHECK(bench.document.state.green->speeds.back().speed_ft == 9.5);
    CHECK(cut.line.empty());
    CHECK(has(bench.frames(panel), "Undo takes it back"));

    // Backwards is offered as told late, not taken silently.
    cut.line = "10 on, 6 left";
    cut.date = "2026-05-01";
    CHECK(has(bench.frames(panel), "lies before it"));
    CHECK(cut.preview().backwards);
    cut.keep();
    CHECK(bench.edits.proposed.size() == 1);
    cut.keep(true);
    REQUIRE(bench.edits.proposed.size() == 2);
    bench.confirm(bench.last());
    CHECK(bench.document.state.green->todays_hole()->p == place);

    cut.line = "skipped frost";
    cut.date = "2026-05-03";
    CHECK(cut.preview().ready);
    cut.keep();
    bench.confirm(bench.last());
    CHECK(bench.document.state.green->skipped.size() == 1);
    for (const char* wrong : {"90 on, 3 left", "somewhere", "S9=3, S1=4, left", "60,4"}) {
        cut.line = wrong;
        CAPTURE(wrong);
        CHECK_FALSE(cut.preview().ready);
        CHECK_FALSE(cut.preview().sentence.empty());
        const auto before = bench.edits.proposed.size();
        cut.keep();
        CHECK(bench.edits.proposed.size() == before);
    }
}

TEST_CASE("the line of play is turned by a drag and by keys, drawn point by point, and kept or dropped") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    auto& line = panel.parts().line;
    bench.open(gentle_green(), {14, 12}, {17, 12});
    panel.parts().show(Part::cut);
    line.turn();
    // Players in the west look east.
    bench.tools.drag({14, -6}, {-10, 12});
    CHECK(line.bearing_deg() == doctest::Approx(90).epsilon(1e-3));
    bench.tools.key(plugin::ToolKey::right);
    bench.tools.key(plugin::ToolKey::left, true);
    CHECK(line.bearing_deg() == doctest::Approx(81).epsilon(1e-3));
    bench.tools.key(plugin::ToolKey::enter);
    REQUIRE(bench.edits.proposed.size() == 1);
    bench.confirm(bench.last());
    CHECK(brae::bearing_deg((*bench.document.state.green->line_of_play).direction) == doctest::Approx(81).epsilon(1e-3));
    CHECK_FALSE(line.in_hand());

    line.draw();
    for (const Vec2 p : {Vec2{14, -15}, Vec2{10, -8}, Vec2{14, -4}, Vec2{14, 3}}) bench.tools.click(p);
    CHECK(line.bearing_deg() == doctest::Approx(0).epsilon(1e-6));
    bench.tools.key(plugin::ToolKey::backspace);
    CHECK(line.points().size() == 3);
    bench.tools.key(plugin::ToolKey::enter);
    bench.confirm(bench.last());
    CHECK(bench.document.state.green->line_of_play->approach.size() == 3);
    line.set_bearing(200);
    CHECK(line.in_hand());
    line.drop();
    CHECK_FALSE(line.in_hand());
    CHECK(bench.edits.proposed.size() == 2);

    line.add_gate();
    bench.picks.picked({26, 12});
    bench.confirm(bench.last());
    CHECK(bench.document.state.green->gates.size() == 1);
}

TEST_CASE("practice holes keep the coach's stations, and a clash on the green is named") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    auto& practice = panel.parts().practice;
    bench.open(gentle_green(), {14, 12}, {17, 12});
    bench.change([](Green& g) {
        StoredStation s;
        s.station.label = "A";
        s.station.ball = {14, 9};
        s.station.hole = s.station.marker = {14, 13};
        g.stations = {s};
    });
    panel.model().date = "2026-05-02";
    panel.parts().show(Part::practice);
    CHECK(has(bench.frames(panel), "1 practice station of the coach is kept"));
    panel.model().find();
    bench.jobs.run();
    PracticeRules rules;
    rules.count = 3;
    rules.apart_m = 4;
    practice.set_rules(rules);
    practice.choose();
    REQUIRE(practice.chosen().holes.size() == 3);
    CHECK(practice.chosen().holes[0].p == Vec2{14, 13});
    CHECK(practice.chosen().holes[0].of_station);
    CHECK(has(bench.frames(panel), "Today's holes"));
    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(canvas.bad == 0);
    CHECK(canvas.markers >= 4);
    practice.accept();
    bench.confirm(bench.last());
    CHECK(std::count_if(bench.document.state.green->holes.begin(), bench.document.state.green->holes.end(), [](const StoredHole& h) { return h.today; }) == 3);
    CHECK(practice.clashes().empty());
    bench.change([](Green& g) { g.holes.push_back({"today", {14, 10}, "2026-05-02", "", true}); });
    CHECK(has(bench.frames(panel), "ground of station A"));
    CHECK(bench.content.x <= 340);
}

TEST_CASE("every act of the panel has a key of its own that the program does not use") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    const auto keys = panel.shortcuts();
    CHECK(keys.size() >= 12);
    for (std::size_t k = 0; k < keys.size(); ++k) {
        CHECK(keys[k].act);
        CHECK_FALSE(keys[k].does.empty());
        if (!keys[k].ctrl && !keys[k].shift) CHECK(std::string("BHFTPV").find(keys[k].key) == std::string::npos);
        for (std::size_t m = 0; m < k; ++m) CHECK_FALSE((keys[k].key == keys[m].key && keys[k].ctrl == keys[m].ctrl && keys[k].shift == keys[m].shift));
        keys[k].act();   // without a green nothing happens, and nothing fails
    }
    bench.open(gentle_green(), {14, 12}, {17, 12});
    for (const auto& key : panel.shortcuts()) {
        key.act();
        bench.frame(panel);
    }
    bench.tools.put_down();
}

TEST_CASE("limits are settings, kept between runs, and nonsense in them is left at the default") {
    PanelBench bench;
    bench.settings.kept = {{"profile", "own"}, {"edge_paces", "2.5"}, {"slope_ceiling_pct", "steep"}, {"apart_m", "-4"}};
    HolesPlugin panel(bench.services);
    CHECK(panel.model().limits().edge_m == doctest::Approx(2.5 * kPace));
    CHECK(panel.model().limits().slope_ceiling == HoleLimits{}.slope_ceiling);
    CHECK(panel.model().limits().apart_m == HoleLimits{}.apart_m);
    HoleLimits l = panel.model().limits();
    l.spacing_m = 0;
    panel.model().set_limits(l);
    CHECK(panel.model().limits().spacing_m == doctest::Approx(0.1));
    CHECK(bench.settings.kept.at("spacing_m") == "0.1");
    panel.model().set_profile("competition");
    CHECK(panel.model().limits().edge_m == hole_profile("competition").edge_m);
}

TEST_CASE("the sheet is written once there are positions") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    REQUIRE(bench.exports.all.size() == 1);
    CHECK_FALSE(bench.exports.all[0].ready());
    panel.model().find();
    bench.jobs.run();
    CHECK(bench.exports.all[0].ready());
    Scratch scratch;
    Progress progress;
    bench.exports.all[0].prepare()(scratch / "holes.pdf", progress);
    CHECK(fs::file_size(scratch / "holes.pdf") > 3000);
}

TEST_CASE("what is missing is said: no reading of the speed, no edge but the data's end, no place left by the zones") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    panel.model().date = "2026-05-02";
    TerrainModel terrain = gentle_green();
    terrain.outline = Outline(terrain.outline.ring(), OutlineSource::data_boundary);
    bench.open(std::move(terrain), {14, 12}, {17, 12});
    const std::string bare = bench.frames(panel);
    CHECK(has(bare, "No reading is kept"));
    CHECK(has(bare, "No edge is drawn or surveyed"));
    bench.change([](Green& g) {
        g.speeds = {{9.5, 0.5, "2026-05-01", "ramp"}};
        g.zones = {{"Seed", "no hole", {{-50, -50}, {80, -50}, {80, 80}, {-50, 80}}, "2026-06-01"}};
    });
    CHECK_FALSE(has(bench.frames(panel), "No reading is kept"));
    panel.model().find();
    bench.jobs.run();
    const std::string text = bench.frames(panel);
    CHECK(has(text, "closed zones cover all of it"));
    CHECK(has(text, "zone 'Seed' (no hole, until 2026-06-01)"));
    CHECK_FALSE(has(text, "nan"));
    // The closest place is marked where there is one.
    bench.open(green_of(tilted(0.06, {0, -1}), ellipse({14, 12}, 12, 11)), {14, 12}, {17, 12});
    panel.on_event(plugin::Event::green_opened);
    panel.model().find();
    bench.jobs.run();
    BenchCanvas canvas;
    bench.frame(panel);
    panel.draw_overlay(canvas);
    CHECK(std::find(canvas.labels.begin(), canvas.labels.end(), "closest to fair") != canvas.labels.end());
}
