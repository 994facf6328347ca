// How much of the ground the one smoothing takes off in each place, as the fit itself shows it.
#pragma once

#include "core/terrain/elevation_model.h"
#include "core/terrain/spline_surface.h"

namespace brae {

// The surface smoothed once more and the difference d from the surface: what the smoothing took off, less what it had taken
// already (twicing, Tukey 1977). Mean squares of d, m^2, and of its slope along one direction, over the cells with data within a
// Gaussian of standard deviation `reach_m`.
struct TwicedBias { Raster height, slope; };
TwicedBias twiced_bias(const SplineSurface& difference, const ElevationModel& grid, double reach_m);

// The posterior variance of a penalised fit is noise and expected smoothing bias, the bias of ground that is as rough everywhere.
// This gives the noise and the bias that d shows here. Derived for dense data: with u = lambda k^6 / density,
// W = 1 / (1 + u) and ground of spectrum k^-6, the plane integrals are, in units of the noise,
//   variance int W, its noise int W^2, d^2 int u W^3, the noise in d^2 int u^2 W^4,
// which are Beta functions: (1/3, 2/3), (1/3, 5/3), (4/3, 5/3), (7/3, 5/3) for heights and, with k^2 more,
// (2/3, 1/3), (2/3, 4/3), (5/3, 4/3), (8/3, 4/3) for slopes.
double height_variance_here(double expected, double twiced);
double slope_variance_here(double expected, double twiced);

// Between sparse points d shows nothing: what they left out no smoothing took off. There the error grows with the ground's third
// derivatives. Their energy f_xxx^2 + 3 f_xxy^2 + 3 f_xyy^2 + f_yyy^2, averaged like d, relative to its mean over the green.
Raster relative_roughness(const SplineSurface& surface, const ElevationModel& grid, double reach_m);

// Shares of the variance of noise with covariance exp(-d^2 / (2 L^2)) that pass a fit of smoothing length
// l = (lambda / density)^(1/6): integrals of exp(-k^2 L^2 / 2) / (1 + (k l)^6)^2 over the plane, for slopes with k^2 more.
struct PassedShares { double height = 1, slope = 1; };
PassedShares passed_shares(double correlation_length_m, double smoothing_length_m);

}  // namespace brae
