// The chance of one player to hole out at each station of a lesson, as known so far.
#pragma once

#include "core/teach/lesson_estimate.h"

#include <vector>

namespace brae {

// Over the posterior: what is not known of the player counts. Before the first putt it is that of the prior, with the player's
// baseline where there is one.
struct StationChance { double own_read = 0, marker = 0; };
std::vector<StationChance> station_chances(const PlayerModel& model, const LessonEstimate& estimate);

}  // namespace brae
