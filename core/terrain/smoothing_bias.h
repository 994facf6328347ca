// How much of the ground the smoothing takes off in each place, as the fit itself shows it, and how much noise it leaves.
#pragma once

#include "core/terrain/band_cholesky.h"
#include "core/terrain/elevation_model.h"
#include "core/terrain/spline_fit.h"

namespace brae {

// The posterior variance of a penalised fit is noise and expected smoothing bias: that of ground whose power falls with k^-6
// for ever. Ground that is smoother than this has less. What the fit f = S z itself can show of its bias (I - S) g are the
// first terms of the series sum S (I - S)^m z, m = 1, 2 (twicing, Tukey 1977, done twice): b = S (I - S) (2 I - S) z.
// Derived for dense data: with u = lambda k^6 / density and s = 1 / (1 + u) the plane integrals are
//   bias int u s^2, what b shows of it int u s^4 (2 - s)^2,
// in Beta functions for heights (measure u^-2/3 du) and slopes (u^-1/3 du): shares of 0.3374 and 0.1522.
inline constexpr double kShownOfHeight = 0.3374, kShownOfSlope = 0.1522;

// Shares of the variance of noise with covariance exp(-d^2 / (2 L^2)) that pass a fit of smoothing length
// l = (lambda / density)^(1/6): integrals of exp(-k^2 L^2 / 2) s^2 over the plane, for slopes with k^2 more; and those that b
// takes for bias, s^2 (1 - s)^2 (2 - s)^2.
struct PassedShares { double height = 1, slope = 1, height_shown = 0, slope_shown = 0; };
PassedShares passed_shares(double correlation_length_m, double smoothing_length_m);

// What lies between sparse points shows nowhere, and there the expected bias stands: s = 1 / (1 + (k l)^6) at the shortest
// wave that points at this spacing tell, k = pi / spacing. Next to nothing for clouds, nearly one for levels about a tier.
double unseen_share(double smoothing_length_m, double spacing_m);

// Of the expected bias of a slope, what stands for ground between the points: the penalty's ground goes on to ever shorter waves,
// where slopes have most of their variance, and ground that machines shaped does not. A judgement, from tiers of many widths
// and heights drawn at random under levels 1 to 2 m apart (surface.md); heights need no such share.
inline constexpr double kUnseenOfSlope = 0.7;

// The fit at the cells of a green: posterior variances of height (m^2) and of slope along one direction (mean of the two), and
// the expected squares that the survey's correlated part adds to b and its slope.
struct FitAtCells { Raster height, slope, correlated_height, correlated_slope; };

// Noise relative to the posterior variance, from draws of the noise (fixed seed) through the same fit, and bias relative to
// what is expected of it (posterior less noise): squares of b less those of its noise and correlated part. All are
// averaged over the cells with data within a Gaussian of standard deviation `reach_m`. Without noise all is noise.
struct ErrorShares { Raster noise_height, noise_slope, bias_height, bias_slope; };
ErrorShares error_shares(const SplineGrid& layout, const NormalEquations& eq, double lambda, const StencilMatrix& penalty, double noise_m,
                         const BandCholesky& factor, const ElevationModel& grid, const FitAtCells& fit, double reach_m,
                         const std::function<void()>& tick);

}  // namespace brae
