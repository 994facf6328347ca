// Draws the stations on the green: paths, start lines, aim markers.
#pragma once

#include "plugins/api/overlay.h"
#include "plugins/practice_stations/stations_model.h"

namespace brae::practice_stations {

void draw_stations(const StationsModel& model, plugin::OverlayCanvas& canvas);

}  // namespace brae::practice_stations
