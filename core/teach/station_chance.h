// The chance of one player to hole out at each station of a lesson, as known so far.
#pragma once

#include "core/solve/player_spread.h"
#include "core/teach/lesson_estimate.h"

#include <vector>

namespace brae {

// Over the posterior: what is not known of the player counts. Before the first putt it is that of the prior, with the player's
// baseline where there is one.
struct StationChance { double own_read = 0, marker = 0; };
std::vector<StationChance> station_chances(const PlayerModel& model, const LessonEstimate& estimate);

// The player as planners take one, at the prior's middle: start line from aim and stroke, launch and read each with what is
// peculiar to a station; biases as they are, of the read its constant part.
PlayerSpread spread_of(const PlayerPrior& prior);

}  // namespace brae
