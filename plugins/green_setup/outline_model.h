// The edge of the green, drawn and changed on the ground, and what a new one would mean.
#pragma once

#include "core/terrain/new_outline.h"
#include "plugins/api/services.h"
#include "plugins/green_setup/ring_editor.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::green_setup {

class OutlineModel {
public:
    explicit OutlineModel(plugin::Services& services) : services_(services) {}

    RingEditor& editor() { return editor_; }
    void draw_new();
    void shape_present();
    void leave();                              // the drawing goes, the green keeps its edge
    void take_tool();                          // in hand again, after Escape or another part of the panel
    void use_typed(const std::string& place);  // a corner more while drawing, else the selected corner goes there
    void read_from_file();                     // asks for a file with an edge, to be looked at and changed before it is kept
    void keep();                               // asks, and applies

    // Why the ring as it is cannot be the edge; empty while it is fine or still a line with fewer than three corners.
    const std::optional<OutlineFault>& fault();
    // It goes past the surface, onto data that the survey has: keeping it reads the survey again.
    bool past_surface();
    double area_m2() const;
    // Holes, stations and zones that the ring would leave outside, in words; empty for none.
    std::string left_outside() const;
    const std::string& message() const { return message_; }
    void say(std::string sentence) { message_ = std::move(sentence); }
    void clear();

private:
    const plugin::Snapshot& now() const { return services_.document.snapshot(); }

    plugin::Services& services_;
    RingEditor editor_;
    std::string message_;
    void judge();

    std::optional<OutlineFault> fault_;
    bool past_surface_ = false, asked_ = false;   // asked: the answer is still to come
    std::uint64_t judged_version_ = 0, judged_revision_ = 0;
};

// The tool that edits a ring: mouse and keys go to the editor, `on_enter` is called for an Enter on a closed ring.
plugin::GroundTool ring_tool(plugin::Services& services, RingEditor& editor, std::function<void()> on_enter);

}  // namespace brae::green_setup
