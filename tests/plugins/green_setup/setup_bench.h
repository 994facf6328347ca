// The panel that sets up a green, in a host without a window.
#pragma once

#include "core/terrain/new_outline.h"
#include "plugins/green_setup/setup_plugin.h"
#include "tests/support/panel_bench.h"
#include "tests/support/support.h"

namespace brae::test {

using namespace brae::green_setup;
using K = plugin::ToolKey;

inline bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

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

}  // namespace brae::test
