#include "plugins/practice_stations/stations_plugin.h"

#include "core/roll/green_speed.h"
#include "core/roll/rolling.h"
#include "tests/support/panel_bench.h"
#include "tests/support/support.h"

#include <fstream>

using namespace brae;
using namespace brae::test;
using namespace brae::practice_stations;
using plugin::ToolKey;

namespace {

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

struct Desk {
    PanelBench bench;
    StationsPlugin panel{bench.services};
    CheckModel& check = panel.coach().check;
    Desk() {
        bench.open(gentle_green(), {14, 12}, {17, 12});
        panel.coach().show(Part::check);
        check.take_in_hand();
    }
    // A line of balls that a ramp rolls on this ground at this green speed.
    void roll_line(Vec2 start, Vec2 toward, double speed_ft, int balls, double launch = kRampReleaseMps) {
        bench.tools.click(start);
        bench.tools.click(toward);
        for (int k = 0; k < balls; ++k) {
            const Vec2 stop = roll(*bench.document.state.green->terrain->surface, {}, start, toward - start, launch, speed_ft).stop();
            bench.tools.click(stop + Vec2{0.03 * (k % 3 - 1), 0.02 * (k % 2)});
        }
    }
};

}  // namespace

TEST_CASE("balls from a ramp, clicked where they stop, give the speed that they were rolled at") {
    Desk d;
    CHECK(has(d.bench.frames(d.panel), "Click where the balls start"));
    d.roll_line({10, 10}, {14, 10}, 9.2, 3);
    d.bench.tools.key(ToolKey::enter);
    d.roll_line({16, 14}, {12, 14}, 9.2, 3);
    d.bench.tools.key(ToolKey::enter);
    d.roll_line({14, 8}, {14, 12}, 9.2, 3);
    CHECK(d.check.balls() == 9);
    d.bench.jobs.run();
    REQUIRE(d.check.result());
    CHECK(d.check.result()->told);
    CHECK(d.check.result()->agrees);
    CHECK(d.check.result()->speed_ft == doctest::Approx(9.2).epsilon(0.02));
    CHECK(d.check.why_not().empty());
    const std::string text = d.bench.frames(d.panel);
    CHECK(has(text, "ft the speed of the day"));
    CHECK(has(text, "Survey and balls"));
    CHECK(has(text, "Ball 9"));
    CHECK_FALSE(has(text, "nan"));
    CHECK(d.bench.content.x <= 340);
    BenchCanvas canvas;
    d.panel.draw_overlay(canvas);
    CHECK(canvas.bad == 0);
    CHECK(canvas.markers >= 9 + 9 + 6);
}

TEST_CASE("every place of the check can be told by keys: arrows move a cross, Enter takes it") {
    Desk d;
    // From the ball of the window at (17, 12), as none is told yet.
    d.bench.tools.key(ToolKey::left, true);
    d.bench.tools.key(ToolKey::down, false);
    REQUIRE(d.check.cross());
    CHECK(distance(*d.check.cross(), Vec2{16, 11.9}) < 1e-9);
    CHECK(has(d.bench.frames(d.panel), "Enter takes the place"));
    BenchCanvas canvas;
    d.panel.draw_overlay(canvas);
    CHECK(canvas.markers == 1);
    d.bench.tools.key(ToolKey::enter);
    REQUIRE(d.check.lines().size() == 1);
    CHECK_FALSE(d.check.cross());
    // The next one starts there; Backspace leaves the cross and takes nothing back.
    for (int k = 0; k < 4; ++k) d.bench.tools.key(ToolKey::left, true);
    d.bench.tools.key(ToolKey::enter);
    CHECK(d.check.step() == CheckStep::balls);
    d.bench.tools.key(ToolKey::up, true);
    d.bench.tools.key(ToolKey::backspace);
    CHECK_FALSE(d.check.cross());
    CHECK(d.check.step() == CheckStep::balls);
    d.bench.tools.key(ToolKey::right, true);
    d.bench.tools.key(ToolKey::enter);
    CHECK(d.check.balls() == 1);
    // Without a cross Enter is another line, as before.
    d.bench.tools.key(ToolKey::enter);
    CHECK(d.check.step() == CheckStep::start);
    // It goes no farther than the mouse does.
    for (int k = 0; k < 200; ++k) d.bench.tools.key(ToolKey::right, true);
    CHECK(-d.bench.document.state.green->terrain->outline.signed_distance(*d.check.cross()) <= 20);
}

TEST_CASE("another ramp's push is worked out with the speed") {
    Desk d;
    d.check.set_let_go(LetGo::same_push);
    for (const auto& [from, to] : {std::pair{Vec2{10, 10}, Vec2{14, 10}}, {Vec2{17, 13}, Vec2{12, 13}}, {Vec2{14, 6}, Vec2{14, 12}}, {Vec2{14, 18}, Vec2{14, 12}}}) {
        d.bench.tools.key(ToolKey::enter);
        d.roll_line(from, to, 9.2, 3, 1.6);
    }
    d.bench.jobs.run();
    REQUIRE(d.check.result());
    REQUIRE(d.check.result()->told);
    CHECK(std::abs(d.check.result()->speed_ft - 9.2) < 3 * d.check.result()->scaled_sigma_ft);
}

TEST_CASE("a kept speed becomes that of the day, and the stations say how much their aims moved") {
    Desk d;
    d.panel.model().choose_lesson("ladder");
    d.panel.model().plan();
    d.bench.jobs.run();
    REQUIRE(d.panel.model().stations().size() == 5);
    const std::vector<PracticeStation> before = d.panel.model().stations();
    d.roll_line({10, 10}, {14, 10}, 8.6, 4);
    d.bench.jobs.run();
    REQUIRE(d.check.why_not().empty());
    REQUIRE(d.bench.click(d.panel, "###keep"));
    REQUIRE(d.bench.edits.proposed.size() == 1);
    const plugin::GreenEdit edit = d.bench.edits.proposed[0];
    CHECK_FALSE(edit.ask);
    REQUIRE(edit.add_speeds.size() == 1);
    CHECK(edit.add_speeds[0].sigma_ft > 0);
    CHECK(has(edit.add_speeds[0].method, "4 rolled balls"));
    // As the host does it: the answer, then the green with its reading, then the events.
    edit.answered(true);
    auto green = std::make_shared<Green>(*d.bench.document.state.green);
    green->speeds.push_back(edit.add_speeds[0]);
    d.bench.document.state.green = green;
    d.bench.document.state.green_speed_ft = edit.add_speeds[0].speed_ft;
    ++d.bench.document.state.revision;
    d.panel.on_event(plugin::Event::green_changed);
    d.panel.on_event(plugin::Event::speed_changed);
    d.bench.jobs.run();
    CHECK(has(d.panel.model().message(), "the aims move: A "));
    CHECK_FALSE(d.panel.model().stale());
    // A slower green breaks less: every aim that is not straight comes nearer to the hole.
    for (std::size_t k = 0; k < before.size(); ++k) {
        const PracticeStation& now = d.panel.model().stations()[k];
        CHECK(now.label == before[k].label);
        CHECK(now.lesson == "ladder");
        CHECK(now.ball == before[k].ball);
        CHECK(now.break_m <= before[k].break_m + 0.002);
    }
}

TEST_CASE("balls that the survey cannot explain are said to disagree and are not kept") {
    Desk d;
    // The ground of the balls falls another way than the survey's.
    const TerrainModel other = green_of(tilted(0.03, {-1, 0}), ellipse({14, 12}, 13, 11));
    for (const auto& [from, to] : {std::pair{Vec2{10, 10}, Vec2{14, 10}}, {Vec2{17, 13}, Vec2{12, 13}}, {Vec2{14, 6}, Vec2{14, 12}}}) {
        d.bench.tools.key(ToolKey::enter);
        d.bench.tools.click(from);
        d.bench.tools.click(to);
        const Vec2 stop = roll(*other.surface, {}, from, to - from, kRampReleaseMps, 9.5).stop();
        for (int k = 0; k < 2; ++k) d.bench.tools.click(stop + Vec2{0.03 * k, 0.0});
    }
    d.bench.jobs.run();
    REQUIRE(d.check.result());
    CHECK_FALSE(d.check.result()->agrees);
    CHECK(has(d.check.why_not(), "do not agree"));
    CHECK(has(d.bench.frames(d.panel), "do not agree"));
    d.check.keep();
    CHECK(d.bench.edits.proposed.empty());
}

TEST_CASE("clicks that cannot be are refused with a sentence, the last one is taken back, and another green begins anew") {
    Desk d;
    d.bench.tools.click({80, 80});
    CHECK(has(d.check.message(), "off the green"));
    d.bench.tools.click({10, 10});
    d.bench.tools.click({10.1, 10});
    CHECK(has(d.check.message(), "too near"));
    CHECK(d.check.step() == CheckStep::toward);
    d.bench.tools.click({14, 10});
    d.bench.tools.click({8, 10});
    CHECK(has(d.check.message(), "cannot stop here"));
    CHECK(d.check.balls() == 0);
    d.bench.tools.click({13, 10});
    CHECK(d.check.balls() == 1);
    CHECK(has(d.check.why_not(), "Roll some balls first"));
    d.bench.jobs.run();
    if (d.check.result() && d.check.result()->told && d.check.result()->agrees) CHECK(has(d.check.why_not(), "Three balls"));
    d.bench.tools.key(ToolKey::backspace);
    d.bench.tools.key(ToolKey::backspace);
    CHECK(d.check.step() == CheckStep::toward);
    d.bench.tools.key(ToolKey::backspace);
    CHECK(d.check.lines().empty());
    d.bench.tools.key(ToolKey::backspace);
    d.panel.on_event(plugin::Event::green_opened);
    CHECK(d.check.lines().empty());
    CHECK_FALSE(d.check.in_hand());
}

TEST_CASE("a station is putted at another hole of the green, and a plan for it joins the list") {
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    auto green = std::make_shared<Green>(*bench.document.state.green);
    green->holes = {{"practice 1", {14, 12}, "2026-05-02", "", true}, {"practice 2", {10, 14}, "2026-05-02", "", false}};
    bench.document.state.green = green;
    StationsModel& model = panel.model();
    model.choose_lesson("fall-line");
    model.plan();
    bench.jobs.run();
    const std::size_t first = model.stations().size();
    REQUIRE(first > 0);
    REQUIRE(model.holes().size() == 2);
    model.choose_hole(model.holes()[1].p);
    CHECK(bench.document.state.hole == Vec2{10, 14});
    // The others belong to a hole that is there too.
    CHECK_FALSE(model.stale());
    CHECK(has(bench.frames(panel), "A hole is cut here"));
    model.set_cut_here(true);
    model.adds_to_list = true;
    model.plan();
    bench.jobs.run();
    REQUIRE(model.stations().size() > first);
    CHECK(model.stations()[0].hole == Vec2{14, 12});
    CHECK(model.stations()[first].hole == Vec2{10, 14});
    CHECK(model.stations()[first].label == std::string(1, static_cast<char>('A' + first)));
    CHECK_FALSE(has(model.stations()[first].note, "flat disc"));
    model.set_hole_of(0, {10, 14});
    bench.jobs.run();
    CHECK(model.stations()[0].hole == Vec2{10, 14});
    model.set_cut_here(false);
    model.set_hole_of(0, {10, 14});
    bench.jobs.run();
    CHECK(has(model.stations()[0].note, "flat disc"));
}

TEST_CASE("a lesson of one's own comes from a file, and a bad one changes nothing") {
    Scratch scratch;
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    StationsModel& model = panel.model();
    model.ask_own_lesson();
    CHECK(bench.files.endings == std::vector<std::string>{".json"});
    std::ofstream(scratch / "bad.json") << "{\"name\": \"x\"";
    bench.files.chosen(scratch / "bad.json");
    CHECK(has(model.message(), "bad.json"));
    CHECK(model.lesson().name == "ladder");
    std::ofstream(scratch / "own.json") << R"({"name": "two-metres", "teaches": "Short ones.", "wants": "Two at two metres.",
        "stations": [{"count": 2, "distance_m": [1.8, 2.2]}]})";
    model.ask_own_lesson();
    bench.files.chosen(scratch / "own.json");
    CHECK(model.lesson().name == "two-metres");
    CHECK(has(bench.frames(panel), "Short ones."));
    model.plan();
    bench.jobs.run();
    REQUIRE_FALSE(model.stations().empty());
    for (const PracticeStation& s : model.stations()) CHECK(std::abs(s.distance_m - 2) <= 0.2001);
    std::ofstream(scratch / "taken.json") << R"({"name": "ring", "teaches": "a", "wants": "b", "stations": [{"distance_m": [2, 3]}]})";
    model.read_own_lesson(scratch / "taken.json");
    CHECK(has(model.message(), "a ready lesson has"));
    CHECK(model.lesson().name == "two-metres");
}
