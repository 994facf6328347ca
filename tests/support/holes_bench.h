// The bench of panels for the greenkeeper's plugin: coarse lattices, and edits done as the document does them.
#pragma once

#include "tests/support/panel_bench.h"

#include <functional>
#include <string>

namespace brae::test {

inline bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// Coarse lattices, so that a green is judged in a second.
struct HolesBench : PanelBench {
    HolesBench() { settings.kept = {{"profile", "own"}, {"spacing_m", "2"}, {"spot_spacing_m", "1.5"}}; }
    void change(const std::function<void(Green&)>& what) {
        auto green = std::make_shared<Green>(*document.state.green);
        what(*green);
        document.state.green = green;
        ++document.state.revision;
    }
    // What the document does with an edit that was confirmed.
    void confirm(const plugin::GreenEdit& edit) {
        change([&](Green& g) {
            if (edit.holes) g.holes = *edit.holes;
            if (edit.skipped) g.skipped = *edit.skipped;
            if (edit.line_of_play) g.line_of_play = *edit.line_of_play;
            if (edit.gates) g.gates = *edit.gates;
            g.speeds.insert(g.speeds.end(), edit.add_speeds.begin(), edit.add_speeds.end());
        });
        if (edit.answered) edit.answered(true);
    }
    const plugin::GreenEdit& last() { return edits.proposed.back(); }
};

}  // namespace brae::test
