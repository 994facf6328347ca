// Places inside the outline that no survey point vouches for, as rings.
#pragma once

#include "core/survey/outline.h"
#include "core/terrain/elevation_model.h"

#include <vector>

namespace brae {

// Rings along the cell edges round each 4-connected patch of cells without data whose centre lies inside the outline.
// Patches under 0.25 m^2 are left out; an island of data within a patch counts as part of it.
std::vector<std::vector<Vec2>> gap_rings(const ElevationModel& grid, const Outline& outline);

}  // namespace brae
