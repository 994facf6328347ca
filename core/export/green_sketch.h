// A small drawing of a green with its hole, to an exact scale: as players see it, the front edge down.
#pragma once

#include "core/export/day_greens.h"
#include "core/export/plan_view.h"

#include <optional>

namespace brae {

// The outline along and across its line of play, north up where it has none.
struct SketchSize { double width_m = 0, depth_m = 0; };
SketchSize sketch_size(const DayGreen& green);

// Centred at (x, y) on the page at 1:scale: the outline, and the hole as a dot that is larger than life. No contours, no slopes,
// no lines of play: what may be carried in a round.
void draw_sketch(Document& document, const DayGreen& green, double x, double y, int scale);

// The largest of `scales` at which all greens fit into the room (points); 0 where none does.
int sketch_scale(const std::vector<DayGreen>& greens, double room_width, double room_height, const std::vector<int>& scales);

}  // namespace brae
