// What a lesson has learned of a player, as the spread that chances to hole are worked out with.
#pragma once

#include "core/solve/player_spread.h"
#include "core/teach/lesson_estimate.h"

namespace brae {

// Means of the posterior: start line by its bias and the spreads of aim and stroke together, pace by its bias and the spread of
// a putt and a station together, read by the spread of a putt and a station together. The bias of the read is left out: it
// hangs on the break, and no putt at a marker has it.
PlayerSpread learned_spread(const LessonEstimate& estimate);

}  // namespace brae
