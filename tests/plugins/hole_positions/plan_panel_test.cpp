#include "plugins/hole_positions/holes_plugin.h"

#include "core/base/calendar.h"
#include "core/record/hole_history.h"
#include "tests/support/holes_bench.h"
#include "tests/support/support.h"

#include <algorithm>

using namespace brae;
using namespace brae::test;
using hole_positions::HolesPlugin;
using hole_positions::kept_days;
using hole_positions::Part;
using hole_positions::PlanDay;
using hole_positions::holes_with_plan;
using hole_positions::too_near_words;

namespace {

// A green with a line of play and a hole cut the day before; the plan begins on 1 May.
struct PlanBench : HolesBench {
    HolesPlugin panel{services};
    hole_positions::PlanModel& plan = panel.parts().plan;
    PlanBench() {
        open(gentle_green(), {14, 12}, {17, 12});
        change([](Green& g) {
            g.line_of_play = line_of_play_towards(0);
            g.holes = {{"cut", {10, 10}, "2026-04-30", "JM", true, true}};
        });
        panel.model().date = "2026-05-01";
        panel.parts().show(Part::plan);
        plan.set_days(4);
    }
    std::string seen() {
        frames(panel);
        jobs.run();
        return frames(panel);
    }
    std::vector<std::string> labels() {
        BenchCanvas canvas;
        frame(panel);
        panel.draw_overlay(canvas);
        CHECK(canvas.bad == 0);
        return canvas.labels;
    }
};

bool among(const std::vector<std::string>& all, const std::string& one) { return std::find(all.begin(), all.end(), one) != all.end(); }

}  // namespace

TEST_CASE("a plan of days keeps what is locked or set by hand, takes steps back, and is kept with its dates") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    auto& plan = panel.parts().plan;
    bench.open(gentle_green(), {14, 12}, {17, 12});
    bench.change([](Green& g) {
        g.line_of_play = line_of_play_towards(0);
        g.holes = {{"cut", {10, 10}, "2028-02-25", "JM", true, true}, {"plan 2028-02-27", {18, 12}, "2028-02-27", "", false, false, {}, "", true}};
    });
    panel.model().date = "2028-02-26";
    panel.parts().show(Part::plan);
    plan.set_days(5);
    plan.plan();
    bench.jobs.run();
    REQUIRE(plan.list().size() == 5);
    for (std::size_t k = 0; k < 5; ++k) {
        REQUIRE(plan.list()[k].p);
        CHECK(distance(*plan.list()[k].p, {10, 10}) >= 3);   // from the last hole
        for (std::size_t m = 0; m < k; ++m) CHECK(distance(*plan.list()[k].p, *plan.list()[m].p) >= 3);
    }
    CHECK(plan.list()[3].date == "2028-02-29");
    const std::string text = bench.frames(panel);
    CHECK(has(text, "The week before"));
    CHECK(has(text, "as cut"));
    CHECK(has(text, "02-29"));
    CHECK(has(text, " on, "));
    CHECK(bench.content.x <= 340);

    // By hand: the third day is moved and stays so, the first is locked.
    const Vec2 first = *plan.list()[0].p;
    plan.lock(0, true);
    plan.select(2);
    plan.move_selected();
    bench.tools.drag({14, 12}, {13, 15});
    bench.tools.put_down();
    bench.jobs.run();
    CHECK(plan.list()[2].locked);
    CHECK(has(plan.list()[2].why, "set by hand"));
    plan.plan();
    bench.jobs.run();
    CHECK(*plan.list()[0].p == first);
    CHECK(*plan.list()[2].p == Vec2{13, 15});
    CHECK(plan.list()[0].locked);
    CHECK_FALSE(plan.list()[1].locked);
    plan.undo();
    plan.undo();
    CHECK_FALSE(plan.list()[2].p == Vec2{13, 15});
    CHECK(plan.list()[0].locked);
    plan.undo();
    CHECK_FALSE(plan.list()[0].locked);

    BenchCanvas canvas;
    bench.frame(panel);
    panel.draw_overlay(canvas);
    CHECK(canvas.bad == 0);
    CHECK(std::find(canvas.labels.begin(), canvas.labels.end(), "02-28") != canvas.labels.end());
    CHECK(std::find(canvas.labels.begin(), canvas.labels.end(), "1 d ago") != canvas.labels.end());

    plan.accept();
    REQUIRE(bench.last().holes);
    const auto& holes = *bench.last().holes;
    CHECK(std::count_if(holes.begin(), holes.end(), [](const StoredHole& h) { return h.date == "2028-02-27"; }) == 1);   // the old plan gave way
    CHECK(holes.front().as_cut);
    CHECK(holes.front().today);
    CHECK(holes.size() == 6);
}

TEST_CASE("a plan that was just kept is the green's own: not said to be another's, and come back with what is by hand and what is not") {
    PlanBench b;
    b.plan.plan();
    b.jobs.run();
    CHECK(has(b.frames(b.panel), "Not kept with the green yet"));
    b.plan.move(2, {13, 15});
    b.jobs.run();
    const std::vector<PlanDay> before = b.plan.list();
    b.plan.accept();
    b.confirm(b.last());
    const std::string text = b.seen();
    CHECK_FALSE(b.plan.stale());
    CHECK_FALSE(has(text, "Planned for another"));
    CHECK(has(text, "As kept with the green"));
    b.plan.accept();
    CHECK(b.edits.proposed.size() == 1);   // nothing is left to keep
    REQUIRE(b.plan.list().size() == 4);
    for (std::size_t k = 0; k < 4; ++k) {
        CHECK(b.plan.list()[k].p == before[k].p);
        CHECK(b.plan.list()[k].locked == (k == 2));
        CHECK(has(b.plan.list()[k].why, "set by hand") == (k == 2));
        CHECK_FALSE(b.plan.list()[k].why.empty());
    }

    // So does another run of the program: the calendar is there without planning.
    HolesPlugin other(b.services);
    other.model().date = "2026-05-01";
    other.parts().show(Part::plan);
    other.parts().plan.set_days(4);
    b.frames(other);
    b.jobs.run();
    CHECK(other.parts().plan.list() == b.plan.list());
    // Planned anew, what was set by hand stays and the rest may change.
    other.parts().plan.plan();
    b.jobs.run();
    CHECK(*other.parts().plan.list()[2].p == Vec2{13, 15});
    CHECK(other.parts().plan.list()[2].locked);
    for (const std::size_t k : {0u, 1u, 3u}) CHECK_FALSE(other.parts().plan.list()[k].locked);
    // A tick that is taken away frees the day.
    other.parts().plan.lock(2, false);
    other.parts().plan.plan();
    b.jobs.run();
    CHECK_FALSE(other.parts().plan.list()[2].locked);
}

TEST_CASE("what was found stays found when a hole is made today's, and is stale when a hole was cut or a zone drawn") {
    PlanBench b;
    b.panel.parts().show(Part::today);
    b.panel.model().find();
    b.jobs.run();
    REQUIRE(b.panel.model().found());
    b.panel.model().make_selected_todays();
    b.confirm(b.last());
    CHECK_FALSE(b.panel.model().stale());
    CHECK_FALSE(has(b.seen(), "Look again before a hole is cut"));
    b.change([](Green& g) { g.zones = {{"Scar", "worn", {{12, 10}, {14, 10}, {13, 12}}, ""}}; });
    CHECK(b.panel.model().stale());
    b.change([](Green& g) { g.zones.clear(); });
    CHECK_FALSE(b.panel.model().stale());
    b.change([](Green& g) { g = with_hole_cut(g, {"2026-05-01", {12, 12}, "", "", {}}).green; });
    CHECK(b.panel.model().stale());
    // A judgement whose result is dropped, since the green changed meanwhile, is asked for again.
    b.frames(b.panel);
    b.jobs.waiting.clear();
    ++b.document.state.revision;
    CHECK_FALSE(has(b.seen(), "Balls are rolled"));
}

TEST_CASE("a skipped day has no hole, whatever is planned or moved, and says why") {
    PlanBench b;
    b.change([](Green& g) { g.skipped = {{"2026-05-02", "frost", "JM"}}; });
    b.plan.plan();
    b.jobs.run();
    REQUIRE(b.plan.list().size() == 4);
    CHECK_FALSE(b.plan.list()[1].p);
    CHECK(b.plan.list()[0].p);
    b.plan.move(1, {13, 15});
    CHECK_FALSE(b.plan.list()[1].p);
    b.plan.select(1);
    CHECK(has(b.frames(b.panel), "skipped, frost"));
    b.plan.accept();
    b.confirm(b.last());
    const auto& holes = b.document.state.green->holes;
    CHECK(std::none_of(holes.begin(), holes.end(), [](const StoredHole& h) { return h.date == "2026-05-02"; }));
    CHECK(has(b.seen(), "skipped, frost"));
    b.panel.model().date = "2026-05-02";
    b.panel.parts().show(Part::today);
    CHECK(has(b.frames(b.panel), "No hole is cut on this day: frost"));
}

TEST_CASE("a zone is named for a place inside it, with kind and day, and drawn while it is closed") {
    PlanBench b;
    b.change([](Green& g) {
        g.zones = {{"Scar", "worn", {{11, 13}, {16, 13}, {16, 17}, {11, 17}}, "2026-05-03"}, {"left", "bunker", {{-2, 10}, {0, 10}, {0, 14}}, ""},
                   {"Old", "closed", {{8, 8}, {9, 8}, {9, 9}}, "2026-04-20"}};
        g.holes.clear();
    });
    b.document.state.hole = Vec2{13, 15};
    b.panel.parts().show(Part::today);
    const std::string text = b.seen();
    CHECK(has(text, "Not fair"));
    CHECK(has(text, "closed ground fails: the place lies in the zone 'Scar' (worn, until 2026-05-03)"));
    std::vector<std::string> labels = b.labels();
    CHECK(among(labels, "Scar, worn until 2026-05-03"));
    CHECK(among(labels, "left, bunker"));
    CHECK_FALSE(among(labels, "Old, closed until 2026-04-20"));
    b.panel.model().find();
    b.jobs.run();
    CHECK(has(b.frames(b.panel), "No hole in the zone 'Scar' (worn, until 2026-05-03)."));

    // In the plan a day's hole is judged by the zones of that day.
    b.panel.parts().show(Part::plan);
    b.plan.plan();
    b.jobs.run();
    REQUIRE(b.plan.list().size() == 4);
    b.plan.move(1, {13, 15});
    b.jobs.run();
    CHECK_FALSE(b.plan.list()[1].fair);
    CHECK(has(b.plan.list()[1].why, "set by hand; not fair: the place lies in the zone 'Scar'"));
    b.plan.select(1);
    CHECK(among(b.labels(), "Scar, worn until 2026-05-03"));
    b.plan.select(3);
    CHECK_FALSE(among(b.labels(), "Scar, worn until 2026-05-03"));
    b.plan.move(3, {13, 15});
    b.jobs.run();
    CHECK_FALSE(has(b.plan.list()[3].why, "Scar"));
    // Whatever number of days is asked for next: on the shown plan's last day the zone is open.
    b.plan.set_days(1);
    b.plan.move(3, {13, 15.1});
    b.jobs.run();
    CHECK_FALSE(has(b.plan.list()[3].why, "Scar"));
}

TEST_CASE("a hole that is dragged on while its place is judged is judged again where it came to rest") {
    PlanBench b;
    b.plan.plan();
    b.jobs.run();
    b.plan.move(2, {13, 15});
    b.plan.move(2, {14, 22.5});
    CHECK(b.jobs.waiting.size() == 1);
    b.jobs.run();
    CHECK(b.plan.list()[2].why == "set by hand");
    b.jobs.run();
    CHECK_FALSE(b.plan.list()[2].fair);
    CHECK(has(b.plan.list()[2].why, "edge"));
}

TEST_CASE("a kept plan keeps who set a hole and why, and leaves what was cut and other days alone") {
    Green g;
    g.holes = {{"cut", {10, 10}, "2026-05-01", "JM", true, true}, {"plan 2026-05-01", {9, 9}, "2026-05-01", "", false, false, {}, "", true}, {"set 2026-05-02", {12, 10}, "2026-05-02", "AB", false, false, 9.5, "by the scar"},
               {"plan 2026-05-03", {14, 10}, "2026-05-03", "", false, false, {}, "", true}, {"plan 2026-05-09", {20, 10}, "2026-05-09", "", false, false, {}, "", true}};
    g.skipped = {{"2026-05-04", "", ""}};
    std::vector<PlanDay> days = kept_days(g, "2026-05-01", 4);
    REQUIRE(days.size() == 4);
    CHECK(days[0].cut);
    CHECK(*days[0].p == Vec2{10, 10});
    CHECK(days[1].locked);
    CHECK_FALSE(days[2].locked);
    CHECK(days[3].skipped == "skipped");
    CHECK(kept_days(g, "2026-05-20", 4).empty());
    days[2].p = Vec2{15, 11};
    const std::vector<StoredHole> kept = holes_with_plan(g, days);
    REQUIRE(kept.size() == 4);
    CHECK(kept[0].as_cut);
    CHECK(kept[0].today);
    CHECK(kept[1].date == "2026-05-09");
    CHECK(kept[2].set_by == "AB");
    CHECK(kept[2].remark == "by the scar");
    CHECK(kept[3].p == Vec2{15, 11});
    CHECK(holes_with_plan(g, {}).size() == g.holes.size());
}

TEST_CASE("a day whose place keeps too near to a hole of another day says so, be that cut, set, planned here or kept for later") {
    Green green;
    green.holes = {{"cut", {10, 10}, "2026-04-30", "JM", true, true}, {"set later", {20, 12}, "2026-05-06", "JM"}};
    std::vector<PlanDay> plan(3);
    for (int k = 0; k < 3; ++k) plan[static_cast<std::size_t>(k)].date = date_after("2026-05-01", k);
    plan[0].p = Vec2{12, 10};      // 2 m from the one that was cut
    plan[1].p = Vec2{16, 14};      // clear of all
    plan[2].p = Vec2{20, 14.5};    // 2.5 m from the one set for later
    CHECK(too_near_words(green, plan, plan[0]) == "2.0 m from the hole cut for 2026-04-30; 3 m for 7 days are wanted");
    CHECK(too_near_words(green, plan, plan[1]).empty());
    CHECK(too_near_words(green, plan, plan[2]) == "2.5 m from the hole set for 2026-05-06; 3 m for 7 days are wanted");
    plan[1].p = Vec2{12, 11};
    CHECK(too_near_words(green, plan, plan[1]) == "1.0 m from the hole planned for 2026-05-01; 3 m for 7 days are wanted");
    // What the file holds for a day of the plan gives way to the plan's own; a day without a place has nothing to say.
    green.holes.push_back({"old", {16.1, 14}, "2026-05-02", ""});
    plan[0].p = Vec2{16, 14}, plan[1].p.reset();
    CHECK(too_near_words(green, plan, plan[0]).empty());
    CHECK(too_near_words(green, plan, plan[1]).empty());
    // Beyond the days of the rule nothing is too near.
    green.holes[0].date = "2026-04-20";
    plan[0].p = Vec2{10, 10};
    CHECK(too_near_words(green, plan, plan[0]).empty());
}

TEST_CASE("a day whose hole is told as cut takes no other as its hole from the panel, and says where that is put right") {
    PlanBench b;
    b.panel.model().date = "2026-04-30";
    b.panel.model().make_todays({14, 12});
    CHECK(b.edits.proposed.empty());
    CHECK_MESSAGE(has(b.panel.model().message(), "the hole of 2026-04-30 is told as cut"), b.panel.model().message());
    b.panel.model().date = "2026-05-01";
    b.panel.model().make_todays({14, 12});
    CHECK(b.edits.proposed.size() == 1);
}

TEST_CASE("the line of a cut hole says what the verb says: what was understood, limits that fail, holes that are near") {
    PlanBench b;
    b.change([](Green& g) {
        g.speeds = {{10, 0.3, "2026-04-29", "ramp"}};
        StoredHole planned{"plan 2026-05-03", {14, 12}, "2026-05-03", ""};
        planned.by_plan = true;
        g.holes.push_back(planned);
    });
    b.panel.parts().show(Part::cut);
    b.panel.parts().cut.date = "2026-05-01";
    b.panel.parts().cut.line = "14.2,12";
    const std::string text = b.seen();
    CHECK_MESSAGE(has(text, "0.2 m from the hole planned for 2026-05-03"), text);
    b.panel.parts().cut.line = "14,3";
    CHECK_MESSAGE(has(b.seen(), "Fails on edge"), b.seen());
}
