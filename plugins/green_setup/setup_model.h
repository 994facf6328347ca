// What the panel and the overlay share: the four parts, and which of them is on show.
#pragma once

#include "plugins/green_setup/locate_model.h"
#include "plugins/green_setup/marks_model.h"
#include "plugins/green_setup/outline_model.h"
#include "plugins/green_setup/zones_model.h"

namespace brae::green_setup {

enum class Part { outline, marks, locate, zones };

// The field for one corner's place, which follows the ring while nobody types in it.
struct CornerField {
    std::string text;
    const RingEditor* ring = nullptr;
    std::uint64_t version = 0;
    std::optional<std::size_t> selected;
    bool active = false;
};

class SetupModel {
public:
    explicit SetupModel(plugin::Services& services) : outline(services), marks(services), locate(services), zones(services), services_(services) {}

    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    plugin::Services& services() { return services_; }
    Part part() const { return part_; }
    // The tool of the part that is left goes down; its drawing stays.
    void show(Part part) {
        if (part == part_) return;
        services_.tools.put_down();
        part_ = part;
        services_.document.redraw();
    }
    // Another green: drawings and forms were about the one before.
    void clear() {
        outline.clear();
        marks.clear();
        locate.clear();
        zones.clear();
    }

    OutlineModel outline;
    MarksModel marks;
    LocateModel locate;
    ZonesModel zones;
    CornerField corner;

private:
    plugin::Services& services_;
    Part part_ = Part::outline;
};

}  // namespace brae::green_setup
