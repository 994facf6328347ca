// Keeps the map of the read from every ball spot of the green for the present hole, pace and speed.
#pragma once

#include "app/document/document.h"
#include "app/read/background.h"
#include "app/read/ground_colour.h"
#include "core/solve/green_reads.h"
#include "plugins/api/overlay.h"

#include <memory>
#include <optional>
#include <string>

namespace brae::app {

class GreenMapKeeper {
public:
    explicit GreenMapKeeper(Background& background) : background_(background) {}

    // Call once a frame after the document may have changed. One map at a time is worked out beside the window and taken
    // in when it is done; then the latest question follows, so that a dragged hole never starves the map. Spots that want
    // work of their own come after the hole has come to rest, in a second, slower map.
    void update(const DocumentValue& now, GroundColour wanted, plugin::Units units);

    // Null while there is none. A new pointer means a new picture.
    const plugin::OverlayRaster* raster() const { return raster_ ? &*raster_ : nullptr; }
    bool gaps() const;   // some spots of the green have no read
    const std::string& refusal() const { return refusal_; }   // one sentence where there is no map, else empty
    bool current() const { return shown_ && asked_ && shown_->same(*asked_); }
    bool complete() const { return current() && shown_full_; }
    std::uint64_t taken_in() const { return taken_in_; }

private:
    struct Question {
        std::shared_ptr<const TerrainModel> terrain;
        GreenQuestion read;
        bool same(const Question& other) const;
    };
    struct Readers;
    struct Maps;
    void start(const Question& question, bool full);
    void cancel(bool full);
    void draw(GroundColour wanted, plugin::Units units);

    Background& background_;
    std::shared_ptr<Readers> readers_;
    std::shared_ptr<const Maps> maps_;
    std::optional<Question> asked_, shown_;
    bool shown_full_ = false, failed_ = false;
    bool quick_awaited_ = false, full_awaited_ = false;   // started and not taken in yet
    std::optional<plugin::OverlayRaster> raster_;
    const Maps* drawn_maps_ = nullptr;
    GroundColour drawn_ = GroundColour::plain;
    plugin::Units drawn_units_ = plugin::Units::metric;
    std::string refusal_;
    std::uint64_t taken_in_ = 0;
};

// The picture of one quantity; values in the unit of the legend. `before`: the picture that it follows, whose range it
// keeps where that still fits, so that colours do not jump while a hole is dragged.
plugin::OverlayRaster read_map_picture(const GreenReads& reads, GroundColour what, plugin::Units units,
                                       const plugin::OverlayRaster* before = nullptr);

}  // namespace brae::app
