// Registers the plugin that sets up a green: edge, reference marks, taping, zones.
#include "plugins/api/plugin.h"
#include "plugins/green_setup/setup_plugin.h"

using brae::green_setup::SetupPlugin;

BRAE_PLUGIN(SetupPlugin, "green_setup", "Set up", "0.1.0");
