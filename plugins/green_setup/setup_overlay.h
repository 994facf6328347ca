// Draws the ring in work, the zones, the tapes with both their crossings, and where a further mark would help.
#pragma once

#include "plugins/api/overlay.h"
#include "plugins/green_setup/setup_model.h"

namespace brae::green_setup {

void draw_setup(SetupModel& model, plugin::OverlayCanvas& canvas);

}  // namespace brae::green_setup
