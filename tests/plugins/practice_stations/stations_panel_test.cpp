#include "plugins/practice_stations/stations_plugin.h"

#include "tests/support/panel_bench.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;
using practice_stations::StationsPlugin;

namespace {

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("the panel draws three frames without a green and asks for one") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    CHECK(has(bench.frames(panel), "Open a green"));
    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(canvas.lines == 0);
}

TEST_CASE("the panel draws three frames with a green but no hole") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    bench.document.state.hole.reset();
    CHECK(has(bench.frames(panel), "Put the hole on the green first"));
    panel.model().plan();
    CHECK(bench.jobs.waiting.empty());
}

TEST_CASE("the button plans the lesson, the list shows it and the overlay draws it") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    REQUIRE(bench.click(panel, "Plan stations for this hole"));
    REQUIRE(bench.jobs.waiting.size() == 1);
    CHECK(has(bench.frame(panel), "Cancel"));
    bench.jobs.run();
    REQUIRE(panel.model().stations().size() == 5);
    const std::string text = bench.frames(panel);
    CHECK(has(text, "Station A"));
    CHECK(has(text, "Marker by tape") == (panel.model().stations()[0].break_m >= kHoleRadius));
    CHECK(has(text, "count them out and count them in"));
    CHECK(has(text, "not for use in a round"));
    CHECK_FALSE(has(text, "nan"));
    CHECK_FALSE(has(text, "made for another hole"));
    // Nothing is wider than the panel.
    CHECK(bench.content.x <= 340);

    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(canvas.bad == 0);
    CHECK(canvas.lines >= 10);
    CHECK(canvas.markers >= 9);
}

TEST_CASE("a planned lesson tells when hole or speed changed since") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    panel.model().plan();
    bench.jobs.run();
    CHECK_FALSE(panel.model().stale());
    bench.document.state.green_speed_ft = 11;
    CHECK(panel.model().stale());
    CHECK(has(bench.frames(panel), "made for another hole or green speed"));
}

TEST_CASE("a lesson that the green cannot give says so in the panel") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(green_of(tilted(0, {1, 0}), ellipse({14, 12}, 12, 11)), {14, 12}, {17, 12});
    panel.model().choose_lesson("fall-line");
    panel.model().plan();
    bench.jobs.run();
    CHECK(panel.model().stations().empty());
    CHECK(has(bench.frames(panel), "no straight uphill and no straight downhill"));
}

TEST_CASE("a station is added at the ball, moved by a click and removed, and labels stay in order") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(crowned_green(), {13.5, 15.5}, {16, 13});
    REQUIRE(bench.click(panel, "Add a station at the ball"));
    bench.jobs.run();
    bench.document.state.ball = Vec2{11, 14};
    panel.model().add_at_ball();
    bench.jobs.run();
    REQUIRE(panel.model().stations().size() == 2);
    CHECK(panel.model().stations()[1].label == "B");
    CHECK(panel.model().selected() == 1);
    panel.model().move(0);
    CHECK(bench.picks.prompt == "Click where station A starts");
    bench.picks.picked({16, 15});
    bench.jobs.run();
    CHECK(panel.model().stations()[0].ball == Vec2{16, 15});
    panel.model().remove(0);
    REQUIRE(panel.model().stations().size() == 1);
    CHECK(panel.model().stations()[0].label == "A");
    // A place with no putt is told and changes nothing.
    panel.model().move_to(0, {80, 80});
    bench.jobs.run();
    CHECK(panel.model().stations()[0].ball == Vec2{11, 14});
    CHECK_FALSE(panel.model().message().empty());
}

TEST_CASE("stations are kept with the green once confirmed and written as a sheet") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    // The sheet, the pocket card, the points for a rover and a phone; the putts of a lesson, its two reports and all of a player.
    REQUIRE(bench.exports.all.size() == 9);
    for (const auto& what : bench.exports.all) CHECK_FALSE(what.ready());
    panel.model().plan();
    bench.jobs.run();
    CHECK(bench.exports.all[0].ready());
    panel.model().keep();
    REQUIRE(bench.edits.proposed.size() == 1);
    CHECK(bench.edits.proposed[0].add_stations.size() == 5);
    CHECK(bench.edits.proposed[0].replace_stations);
    bench.edits.proposed[0].answered(true);
    CHECK(has(panel.model().message(), "kept"));

    Scratch scratch;
    Progress progress;
    bench.exports.all[0].prepare()(scratch / "stations.pdf", progress);
    CHECK(fs::file_size(scratch / "stations.pdf") > 3000);
    panel.model().set_usual_speed(8.5);
    bench.exports.all[1].prepare()(scratch / "card.pdf", progress);
    CHECK(fs::file_size(scratch / "card.pdf") > 3000);
    bench.exports.all[2].prepare()(scratch / "lesson-card.pdf", progress);
    CHECK(fs::file_size(scratch / "lesson-card.pdf") > 3000);
    bench.exports.all[3].prepare()(scratch / "points.csv", progress);
    CHECK(fs::file_size(scratch / "points.csv") > 200);
    panel.model().ask_sheet();
    CHECK(bench.click(panel, "Lesson card\u2026"));
    CHECK(bench.exports.asked == std::vector<std::string>{"Setting-out sheet", "Lesson card"});
}

TEST_CASE("another green brings its own stations and showing a putt moves ball, hole and pace") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    panel.model().choose_lesson("three-paces");
    panel.model().plan();
    bench.jobs.run();
    panel.model().show_putt(2);
    CHECK(bench.document.state.ball == panel.model().stations()[2].ball);
    CHECK(bench.document.state.past_m == 0.60);
    bench.open(crowned_green(), {13.5, 15.5}, {16, 13});
    panel.on_event(plugin::Event::green_opened);
    CHECK(panel.model().stations().empty());
    CHECK(bench.settings.kept.at("lesson") == "three-paces");
}

TEST_CASE("a station at the fastest green speed shows no line for a faster one, and no number that is none") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {15.2, 12});
    bench.document.state.green_speed_ft = kFastestGreenFt;
    panel.model().add_at_ball();
    bench.jobs.run();
    REQUIRE(panel.model().stations().size() == 1);
    const std::string text = bench.frames(panel);
    CHECK(has(text, "/ no line"));
    CHECK_FALSE(has(text, "nan"));
}
