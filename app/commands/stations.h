// The stations of a lesson for a stored green, shared by the verbs `stations` and `sheet`.
#pragma once

#include "core/record/green.h"

#include <string>

namespace brae::app {

StationPlan plan_stations_of(const Green& green, Vec2 hole, double speed_ft, double past_m, const std::string& lesson,
                             Progress& progress);

}  // namespace brae::app
