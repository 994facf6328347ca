// The coach's panel: lesson, plan, list of stations, the one looked at, cautions.
#pragma once

#include "plugins/practice_stations/stations_model.h"

namespace brae::practice_stations {

void draw_stations_panel(StationsModel& model);

}  // namespace brae::practice_stations
