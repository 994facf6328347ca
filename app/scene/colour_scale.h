// Colours of published scales, for the surface, its legend and the overlays of plugins.
#pragma once

#include "plugins/api/overlay.h"

#include <vector>

namespace brae::app {

// Colour at t in [0, 1] (clamped; transparent where t is not finite).
plugin::Colour colour_at(plugin::ScaleName name, double t, bool reversed = false);

// 256 RGBA bytes, for a texture.
std::vector<unsigned char> colour_table(plugin::ScaleName name, bool reversed);

// The least of 1, 1.5, 2, 3, 4, 5, 6, 8, 10 times a power of ten that is not under `value`; 1 for nonsense.
double round_top(double value);

}  // namespace brae::app
