// How often a player holes a putt, and in how many strokes.
#pragma once

#include "core/solve/holing_region.h"
#include "core/solve/player_spread.h"

namespace brae {

struct HoleChance {
    double chance = 0;
    double error = 0;       // bound from what the region misjudges; the integration itself is good to about 1e-5
};

// The integral of the player's normal errors over the region: closed in speed, Gauss's rule in direction. The player
// means `meant`, usually a solution's launch (another pace's too: one region serves them all). Deterministic.
// Throws Error(usage) where the spread holds for another capture model than the region's.
HoleChance chance_to_hole(const HolingRegion& region, const LaunchErrors& errors, Launch meant);
template <CaptureModel Model>
HoleChance chance_to_hole(const HolingRegion& region, const MechanicsSpread<Model>& spread, Launch meant) {
    return chance_to_hole(region, spread.errors(), meant);
}

// Strokes to hole out. Assumes: a missed ball runs on as if there were no hole; a ball that leaves the green is played
// from where it left; every later putt is on the level, at the same pace and with the same spread; the fourth is holed.
struct ExpectedStrokes {
    double strokes = 0;                       // 1 + p(miss 1) + p(miss 2) + p(miss 3)
    double one = 0, two = 0, three = 0, more = 0;   // chances of so many putts
    double mean_leave_m = 0;                  // of the missed balls
    double left_green = 0;                    // chance that the first putt leaves the green
    int rolls = 0;
};
ExpectedStrokes expected_strokes(const PuttGround& ground, const HolingRegion& region, const LaunchErrors& errors,
                                 Launch meant, double green_speed_ft, double past_m);
template <CaptureModel Model>
ExpectedStrokes expected_strokes(const PuttGround& ground, const HolingRegion& region, const MechanicsSpread<Model>& spread,
                                 Launch meant, double green_speed_ft, double past_m) {
    return expected_strokes(ground, region, spread.errors(), meant, green_speed_ft, past_m);
}

}  // namespace brae
