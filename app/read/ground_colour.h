// What the ground is coloured by.
#pragma once

namespace brae::app {

// The last four are maps of the read from every ball spot to the hole.
enum class GroundColour { plain, slope, aim_offset, break_size, launch, entry };

inline bool is_read_map(GroundColour g) { return g >= GroundColour::aim_offset; }

}  // namespace brae::app
