// One finished station: the full solution of its putt, marker, tapes and what to look at.
#pragma once

#include "core/plan/practice_stations.h"

namespace brae {

void check_station_request(const TerrainModel& terrain, const StationRequest& request);
// Throws Error where the putt has no solution that can be aimed at a marker level with the hole.
PracticeStation build_station(const TerrainModel& terrain, const StationRequest& request, Vec2 ball, double past_m,
                              const std::string& label, const std::string& note);

}  // namespace brae
