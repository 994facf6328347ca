// Draws the stations on the green: paths, start lines, aim markers.
#pragma once

#include "plugins/api/overlay.h"
#include "plugins/practice_stations/stations_model.h"

namespace brae::practice_stations {

// read_hidden: the ball spots only, while somebody is to read without help.
void draw_stations(const StationsModel& model, bool read_hidden, plugin::OverlayCanvas& canvas);

}  // namespace brae::practice_stations
