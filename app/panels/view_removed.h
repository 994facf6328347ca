// Points that cleaning took away, over the view: one ink, told apart by shape; what lies under the mouse says why it is no
// turf and how high it lies over it.
#pragma once

#include "app/panels/view_marks.h"
#include "core/survey/removed_points.h"
#include "core/terrain/terrain_model.h"

namespace brae::app {

// Of one reason at most this many signs are drawn at once, every n-th of those in the view: nearer shows more.
inline constexpr std::size_t kMostSigns = 3000;

void draw_removed_sign(ImDrawList& list, ImVec2 centre, RemovalReason reason, float radius);
// Returns how many signs were drawn. `mouse`: where the hover is, if anywhere; `terrain` for the height over the turf.
std::size_t draw_removed_points(ImDrawList& list, const MarksInput& input, const TerrainModel& terrain, std::optional<ImVec2> mouse);
// "0.34 m over the turf: above the turf". Outside the green there is no turf to compare with.
std::string words_on_removed(const RemovedPoint& point, const TerrainModel& terrain, plugin::Units units);
// "1,204 above the turf, 37 below the turf"; "" where none was removed. Largest first; outside the edge last.
std::string words_on_counts(const ReasonCounts& counts);

}  // namespace brae::app
