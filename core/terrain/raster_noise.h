// Noise of heights on a raster, which may hang together from node to node.
#pragma once

#include "core/survey/survey.h"

namespace brae {

// A raster of heights is usually a product: each node was averaged from points that its neighbours used too.
// Noise that hangs together over `length_m` acts on a smooth fit like independent noise of a larger size.
struct RasterNoise {
    double independent_m = 0, correlated_m = 0, length_m = 0;
    double spacing_m = 0;
    bool measured = false;        // false: too few nodes, or too far apart, to tell
    double total_m() const;       // of one node
    double effective_m() const;   // independent noise per node with the same power at long wavelengths
};

// From generalised increments of order two (Matheron 1973; Delfiner 1976): third differences along rows and columns
// at several lags, their variance taken from the median so that tiers do not count as noise. Their growth with the
// lag tells a smooth surface (fourth power or faster) from noise (none beyond its length). Exact smooth rasters
// give zero. Noise counts as correlated only where the growth slackens with the lag. `nodes` lie on a raster of about
// the given spacing, which may be turned, mostly in its own order.
RasterNoise raster_noise(const std::vector<Vec3>& nodes, double spacing_m);

}  // namespace brae
