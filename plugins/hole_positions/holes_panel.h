// The greenkeeper's panel: find, list, why and why not, maps, limits, cautions.
#pragma once

#include "plugins/hole_positions/holes_model.h"

namespace brae::hole_positions {

void draw_holes_panel(HolesModel& model);

}  // namespace brae::hole_positions
