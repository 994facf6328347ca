// One putt at another green speed, followed from a launch that is known instead of solved from nothing.
#pragma once

#include "core/solve/polish.h"
#include "core/solve/putt.h"
#include "core/terrain/terrain_model.h"

#include <optional>

namespace brae {

struct PuttAtSpeed { double aim_offset_m = 0; Launch launch; };   // offset signed, positive right

// `known` holes the putt from asked.ball at known_speed_ft; the answer is for asked.green_speed_ft. Followed by Newton's method
// in steps of at most half a foot, each checked by a roll that stays on the green up to the hole; a few tenths of a
// millisecond a step. Where that leads nowhere, or far from the launch before, the putt is solved anew and its slowest
// solution that can be aimed is given. None where there is none. Of several ways to hole a putt this is the same one.
std::optional<PuttAtSpeed> putt_at_speed(const TerrainModel& terrain, const PuttQuestion& asked, Launch known, double known_speed_ft);

}  // namespace brae
