// The same putt at other green speeds, so that a printed sheet survives a change at the green.
#pragma once

#include "core/plan/practice_stations.h"

#include <vector>

namespace brae {

struct BreakAtSpeed {
    double green_speed_ft = 0;
    std::optional<double> break_m;      // none where that speed has no putt that can be aimed
    double launch_mps = 0;
    bool usual = false;                 // the speed of the player's home greens
};

// At the station's speed less 1 and 0.5 ft, itself, plus 0.5 and 1 ft, as far as they lie in 4 to 16 ft, and at the
// player's usual speed where that is told; by speed, no speed twice. About a millisecond in all.
// Throws Error(usage) for a usual speed outside 4 to 16 ft.
std::vector<BreakAtSpeed> breaks_at_speeds(const TerrainModel& terrain, const PracticeStation& station,
                                           std::optional<double> usual_speed_ft = std::nullopt);

// What a station itself keeps: half a foot less and more, as far as these speeds are accepted.
std::vector<BreakAtSpeed> kept_breaks(const PracticeStation& station);

// Of each station, for a sheet: the breaks at other speeds, or what the station keeps where it cannot be solved any more
// (kept stations may lie off an outline that was drawn anew).
std::vector<std::vector<BreakAtSpeed>> breaks_for_sheet(const TerrainModel& terrain, const std::vector<PracticeStation>& stations,
                                                        std::optional<double> usual_speed_ft);

}  // namespace brae
