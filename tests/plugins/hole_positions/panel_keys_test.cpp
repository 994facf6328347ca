#include "plugins/hole_positions/holes_plugin.h"

#include "tests/support/holes_bench.h"
#include "tests/support/panel_keys.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;
using hole_positions::HolesPlugin;
using hole_positions::Part;

// ImGui's keyboard navigation: arrows go from control to control, Space or Enter uses one.
TEST_CASE("whatever the mouse can use in any part of the panel the arrow keys reach") {
    for (const Part part : {Part::today, Part::plan, Part::cut, Part::practice}) {
        HolesBench bench;
        HolesPlugin panel(bench.services);
        bench.open(gentle_green(), {14, 12}, {17, 12});
        bench.change([](Green& g) {
            g.line_of_play = line_of_play_towards(0);
            g.gates = {{"gate 1", {26, 12}}};
        });
        panel.model().date = "2026-05-02";
        panel.model().find();
        bench.jobs.run();
        panel.parts().plan.set_days(3);
        panel.parts().plan.plan();
        bench.jobs.run();
        panel.parts().show(part);
        panel.parts().practice.choose();
        panel.parts().cut.line = "12 on, 6 left";
        for (int k = 0; k < 3; ++k) bench.frames(panel), bench.jobs.run();
        const auto mouse = used_by_mouse(bench, panel);
        CHECK(mouse.size() >= 9);
        const auto keys = reached_by_keys(bench, panel);
        for (const auto& [id, at] : mouse) CHECK_MESSAGE(keys.count(id), "part " << static_cast<int>(part) << ": what stands at " << at.x << ", " << at.y << " is not reached");
    }
}

TEST_CASE("a position is chosen, looked at and made today's by keys alone") {
    HolesBench bench;
    HolesPlugin panel(bench.services);
    bench.open(gentle_green(), {14, 12}, {17, 12});
    panel.model().date = "2026-05-02";
    give_keys(bench, panel);
    const auto go_to = [&](const char* label) {
        const ImGuiID id = ImGui::FindWindowByName("panel")->GetID(label);
        for (int k = 0; k < 60; ++k) press_key(bench, panel, ImGuiKey_UpArrow);
        for (int k = 0; k < 80; ++k) {
            if (key_stands_on() == id) return true;
            press_key(bench, panel, ImGuiKey_RightArrow);
            if (key_stands_on() == id) return true;
            press_key(bench, panel, ImGuiKey_LeftArrow);
            press_key(bench, panel, ImGuiKey_DownArrow);
        }
        return false;
    };
    REQUIRE(go_to("Find fair positions"));
    press_key(bench, panel, ImGuiKey_Space);
    bench.jobs.run();
    REQUIRE(panel.model().found());
    REQUIRE(panel.model().found()->best.size() >= 3);
    bench.frames(panel);
    bench.jobs.run();
    panel.model().step_selected(1);
    REQUIRE(go_to("Look at it"));
    press_key(bench, panel, ImGuiKey_Space);
    CHECK(bench.document.state.hole == panel.model().found()->best[1].p);
    REQUIRE(go_to("Today's hole\u2026"));
    press_key(bench, panel, ImGuiKey_Space);
    REQUIRE(bench.edits.proposed.size() == 1);
    CHECK(bench.last().holes->back().p == panel.model().found()->best[1].p);
}
