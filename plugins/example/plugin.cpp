// Registers the example: what the ground does under the mouse.
#include "plugins/api/plugin.h"
#include "plugins/example/slope_panel.h"

using brae::example::SlopePanel;

BRAE_PLUGIN(SlopePanel, "example", "Slope", "0.1.0");
