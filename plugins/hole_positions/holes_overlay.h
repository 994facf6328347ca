// What the plugin draws on the green: the map, zones, places, the plan and its history, the line of play, the place that is judged.
#pragma once

#include "plugins/api/overlay.h"
#include "plugins/hole_positions/parts.h"

namespace brae::hole_positions {

void draw_holes(Parts& parts, plugin::OverlayCanvas& canvas);

}  // namespace brae::hole_positions
