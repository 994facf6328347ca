// Registers the coach's plugin: practice stations with known break and an aim marker.
#include "plugins/api/plugin.h"
#include "plugins/practice_stations/stations_plugin.h"

using brae::practice_stations::StationsPlugin;

BRAE_PLUGIN(StationsPlugin, "practice_stations", "Stations", "0.1.0");
