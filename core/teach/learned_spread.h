// A player as the spread that chances to hole are worked out with: as a lesson has learned them, or as they are taken to be before.
#pragma once

#include "core/solve/player_spread.h"
#include "core/teach/lesson_estimate.h"

namespace brae {

// Start line by its bias and the spreads of aim and stroke together; pace by its bias and the spread of a putt and a station
// together; read by the constant part of its bias and the spread of a putt and a station together. The part of the read's bias that
// goes with the break is left out: it differs from spot to spot, and a spread is one for all of them. It is a player who reads the
// putt that is meant; at a marker neither bias nor spread of the read counts.
PlayerSpread learned_spread(const LessonEstimate& estimate);   // means of the posterior
PlayerSpread spread_of(const PlayerPrior& prior);              // the prior's middle

}  // namespace brae
