// How far the data of a survey reach, whatever edge the green has: the limit within which an edge can be drawn anew, and
// whether an older edge still lies on new data.
#pragma once

#include "core/base/progress.h"
#include "core/survey/survey.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// Points farther than this from the edge are no part of a green that grows.
inline constexpr double kReachRoomM = 50;

// How the word of keep_former_edge begins where the edge stays; it goes when another edge is drawn.
inline constexpr const char* kFormerEdgeStays = "the survey brings no outline; the edge that the green had";

// The outer ring of the points within kReachRoomM of the box `around` that the files do not withhold, as data_boundary draws
// it: clutter counts as well, for what lies outside the edge was never judged. Empty where the points make no connected
// ground. For a survey that was not cleaned yet; leaves it as it was. About as long as one pass of the cleaning.
std::vector<Vec2> data_reach(Survey& survey, const Box& around, Progress& progress);

// The share of the area inside `edge` that lies inside the ring `reach`, from 0 to 1, on a lattice of about 2000 places.
double share_within(const Outline& edge, const std::vector<Vec2>& reach);

// Gives a survey that brings no outline the edge that the green had, where at least half of it lies on the new data, and says
// so in the warnings; where less of it does, says that it was left. Nothing for surveys with an outline and for edges that were
// only the boundary of the data. `reach` becomes the reach of the survey's data round the edge that holds now, empty where that
// is to be the boundary of the data.
void keep_former_edge(Survey& survey, const std::optional<Outline>& former, std::vector<Vec2>& reach, Progress& progress);

}  // namespace brae
