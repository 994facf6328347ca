// How an error of the surveyed heights turns into an error of the aim, linearised along the path.
#pragma once

#include "core/solve/polish.h"
#include "core/terrain/terrain_model.h"

namespace brae {

// Standard deviation, radians, of the start direction of the putt `launch` that takes rolling_time_s to the hole (a
// dying ball is followed to 10 mm/s only). The launch speed follows the error too. docs/solver.md.
double direction_se(const PuttGround& ground, Launch launch, double rolling_time_s, const ErrorModel& error);

}  // namespace brae
