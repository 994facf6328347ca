#include "plugins/hole_positions/holes_plugin.h"

#include "tests/support/panel_bench.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;
using hole_positions::HolesPlugin;
using hole_positions::MapKind;

namespace {

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("the panel draws three frames without a green and asks for one") {
    PanelBench bench;
    HolesPlugin panel(bench.services);
    CHECK(has(bench.frames(panel), "Open a green"));
    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(canvas.rasters == 0);
}

TEST_CASE("the button finds positions, the list shows them and the overlay draws them") {
    PanelBench bench;
    HolesPlugin panel(bench.services);
    bench.open(crowned_green(), {13.5, 15.5}, {16, 13});
    REQUIRE(bench.click(panel, "Find fair positions"));
    REQUIRE(bench.jobs.waiting.size() == 1);
    bench.jobs.run();
    REQUIRE(panel.model().plan_made().positions.size() >= 3);
    const std::string text = bench.frames(panel);
    CHECK(has(text, "places are fair at 10.0 ft"));
    CHECK(has(text, "nearest limit"));
    CHECK(has(text, "The greenkeeper decides"));
    CHECK_FALSE(has(text, "nan"));
    CHECK(bench.content.x <= 340);
    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(canvas.bad == 0);
    CHECK(canvas.markers == static_cast<int>(panel.model().plan_made().positions.size()));
}

TEST_CASE("the map is worked out once for a speed and again for another") {
    PanelBench bench;
    HolesPlugin panel(bench.services);
    bench.open(crowned_green(), {13.5, 15.5}, {16, 13});
    BenchCanvas canvas;
    // While another panel is in front nothing is mapped.
    panel.draw_overlay(canvas);
    CHECK(bench.jobs.waiting.empty());
    bench.frame(panel);
    panel.draw_overlay(canvas);
    CHECK(canvas.rasters == 0);
    bench.jobs.run();
    bench.frame(panel);
    panel.draw_overlay(canvas);
    CHECK(canvas.rasters == 1);
    panel.draw_overlay(canvas);
    CHECK(canvas.rasters == 1);
    CHECK(bench.jobs.waiting.empty());
    // The fair area alone is coloured: every value is a margin, the rest is bare.
    int coloured = 0;
    for (double v : canvas.last_raster->values)
        if (!std::isnan(v)) {
            ++coloured;
            CHECK((v >= 0 && v <= 1));
        }
    CHECK(coloured > 100);
    CHECK(has(bench.frames(panel), "Fair area by green speed"));
    bench.document.state.green_speed_ft = 12;
    bench.frame(panel);
    panel.draw_overlay(canvas);
    CHECK(bench.jobs.waiting.size() == 1);
    bench.jobs.run();
    panel.model().set_map(MapKind::none);
    canvas.rasters = 0;
    bench.frame(panel);
    panel.draw_overlay(canvas);
    CHECK(canvas.rasters == 0);
}

TEST_CASE("why and why not are told for the hole and for the place under the mouse") {
    PanelBench bench;
    HolesPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    CHECK(has(bench.frames(panel), "Fair by every limit"));
    // 30 / 2 % = 15 ft (derived).
    CHECK(has(bench.frames(panel), "fair up to a green speed of 15.0 ft"));
    panel.model().set_judge_cursor(true);
    CHECK(has(bench.frames(panel), "Move the mouse"));
    bench.document.state.cursor = Vec2{14, 22};
    CHECK(has(bench.frames(panel), "edge fails"));
}

TEST_CASE("no fair place is told with the limit and the speed that would allow one") {
    PanelBench bench;
    HolesPlugin panel(bench.services);
    bench.open(green_of(tilted(0.029, {0, -1}), ellipse({14, 12}, 12, 11)), {14, 12}, {17, 12});
    bench.document.state.green_speed_ft = 13;
    panel.model().plan();
    bench.jobs.run();
    CHECK(has(bench.frames(panel), "a green speed of 10.3 ft would allow one"));
}

TEST_CASE("a rotation is kept with dates, and one place as today's hole") {
    PanelBench bench;
    HolesPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    panel.model().set_days(7);
    panel.model().first_date() = "2028-02-26";
    panel.model().plan();
    bench.jobs.run();
    REQUIRE(panel.model().plan_made().positions.size() == 7);
    bench.frames(panel);
    panel.model().accept_plan();
    REQUIRE(bench.edits.proposed.size() == 1);
    REQUIRE(bench.edits.proposed[0].add_holes.size() == 7);
    CHECK(bench.edits.proposed[0].add_holes[3].date == "2028-02-29");
    CHECK(bench.edits.proposed[0].add_holes[4].date == "2028-03-01");
    panel.model().accept(0);
    REQUIRE(bench.edits.proposed.size() == 2);
    CHECK(bench.edits.proposed[1].add_holes[0].today);
    bench.edits.proposed[1].answered(true);
    CHECK(bench.document.state.hole == panel.model().plan_made().positions[0].p);
}

TEST_CASE("a date that is none gives no date") {
    CHECK(hole_positions::date_after("2027-12-31", 1) == "2028-01-01");
    for (const char* bad : {"", "yesterday", "2027-13-01", "2027-02-30", "2027-2-3", "2027-02-030"})
        CHECK(hole_positions::date_after(bad, 0).empty());
}

TEST_CASE("limits are settings, kept between runs, and nonsense in them is left at the default") {
    PanelBench bench;
    bench.settings.kept = {{"edge_m", "2.5"}, {"slope_ceiling", "steep"}, {"apart_m", "-4"}};
    HolesPlugin panel(bench.services);
    CHECK(panel.model().limits().edge_m == 2.5);
    CHECK(panel.model().limits().slope_ceiling == HoleLimits{}.slope_ceiling);
    CHECK(panel.model().limits().apart_m == HoleLimits{}.apart_m);
    HoleLimits l = panel.model().limits();
    l.spacing_m = 0;
    panel.model().set_limits(l);
    CHECK(panel.model().limits().spacing_m == doctest::Approx(0.1));
    CHECK(bench.settings.kept.at("spacing_m") == "0.1");
}

TEST_CASE("the sheet is written once there are positions") {
    PanelBench bench;
    HolesPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    REQUIRE(bench.exports.all.size() == 1);
    CHECK_FALSE(bench.exports.all[0].ready());
    panel.model().plan();
    bench.jobs.run();
    CHECK(bench.exports.all[0].ready());
    Scratch scratch;
    Progress progress;
    bench.exports.all[0].prepare()(scratch / "holes.pdf", progress);
    CHECK(fs::file_size(scratch / "holes.pdf") > 3000);
}
