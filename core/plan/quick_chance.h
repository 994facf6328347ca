// The chance to hole a putt from some hundred rolled balls, for a search that asks it of many spots.
#pragma once

#include "core/plan/practice_stations.h"
#include "core/solve/polish.h"

namespace brae {

// As chance_to_hole over the whole holing region, which takes thousands of balls: here the slow and the fast limit are found
// to a thousandth of the launch at a dozen directions, taken as parabolas between these, and integrated over the player's
// normal errors, in closed form in speed. Within 0.02 of chance_to_hole on practice putts of 1 to 4 m, mostly within 0.005 (a
// test holds it to that), at a tenth of its cost. What hangs apart from the solution's own region is left out. 0 where the meant launch does not hole nor one near it.
// Deterministic. Throws Error(usage) where the errors hold for another capture model than the default.
double quick_chance(const PuttGround& ground, Launch meant, const LaunchErrors& errors);

// The same of a station, on its own start line at its own launch. 0 where the kept launch no longer holes on this ground.
double chance_at(const TerrainModel& terrain, const PracticeStation& station, const PlayerSpread& player);

}  // namespace brae
