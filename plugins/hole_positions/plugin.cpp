// Registers the greenkeeper's plugin: fair hole positions at the day's speed.
#include "plugins/api/plugin.h"
#include "plugins/hole_positions/holes_plugin.h"

using brae::hole_positions::HolesPlugin;

BRAE_PLUGIN(HolesPlugin, "hole_positions", "Holes", "0.1.0");
