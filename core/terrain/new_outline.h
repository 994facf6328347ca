// A green whose edge is drawn anew on ground that was surveyed before: the same surface under another outline.
#pragma once

#include "core/terrain/terrain_model.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// "from the boundary of the data", "from a file", "from point codes", "drawn by hand".
std::string where_from(OutlineSource source);

// What a drawn outline may enclose, m2: own limits, wide of every green from a practice mat of turf to a double green.
inline constexpr double kSmallestGreenM2 = 20, kLargestGreenM2 = 10000;

// Why a ring can be no outline of this green, and where.
struct OutlineFault {
    enum class Kind { corners, not_a_number, crossing, area, beyond } kind = Kind::corners;
    std::optional<Vec2> where;           // the crossing, or the place farthest beyond the ground
    double amount = 0;                   // corners: how many; area: m2; beyond: m from the ground
    std::size_t first = 0, second = 0;   // crossing: the corners where the two sides begin, from 0
};
// "the outline leaves the surveyed ground by 0.84 m at (3.20, 17.55); draw it within that ground or survey more of it".
// Lengths in feet, areas in square feet where asked; places are always local metres.
std::string to_text(const OutlineFault& fault, bool feet = false);

// Which ground the ring must lie on. surface: the present outline, its gaps included, and every cell that has a standard error,
// whether the present mask shows it or not; there the surface is known already. data: also whatever lies inside model.reach,
// where the survey has points and the surface can be worked out anew (survey_again).
enum class OutlineGround { surface, data };

// The first thing that speaks against the ring (either sense, repeated neighbours and a repeated first corner allowed), empty
// where it can be the outline. A ring may lie up to 0.45 of a cell beyond the ground. About 1 ms.
std::optional<OutlineFault> outline_fault(const TerrainModel& model, const std::vector<Vec2>& ring, OutlineGround ground = OutlineGround::surface);

// Whether the ring can be the outline, but only after the survey was read again for it.
bool needs_new_surface(const TerrainModel& model, const std::vector<Vec2>& ring);

// The same ground under a new outline: frame, surface, heights, standard errors and error model are those of `model`; the
// mask is 1 where a cell has data and its centre lies inside; what has none inside becomes a gap, as in build_terrain; what is cut out of the green stays so where it lies within the new ring.
// Cells left outside keep their standard errors, so that a later outline may take them in again. points_used goes by the
// area (the points themselves are not kept), and the sentence that the edge is only the boundary of the data goes.
// Throws Error with to_text of the fault, of the surface's ground.
TerrainModel with_outline(const TerrainModel& model, const std::vector<Vec2>& ring);

}  // namespace brae
