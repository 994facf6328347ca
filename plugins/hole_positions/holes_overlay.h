// Draws the map, the planned holes and the ground that is judged round a place.
#pragma once

#include "plugins/api/overlay.h"
#include "plugins/hole_positions/holes_model.h"

namespace brae::hole_positions {

void draw_holes(HolesModel& model, plugin::OverlayCanvas& canvas);

}  // namespace brae::hole_positions
