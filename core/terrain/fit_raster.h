// Rasters of a fitted surface over a green: heights, mask, standard errors.
#pragma once

#include "core/survey/outline.h"
#include "core/terrain/elevation_model.h"
#include "core/terrain/spline_fit.h"

namespace brae {

// Cells of the outline's box, edges at align + integer * cell, heights at their centres; mask where the centre lies
// inside and within `gap` of a point. `some` are points from everywhere that settle most cells quickly, the rest is asked of
// `all`. Standard errors are left empty. Sets `covered`, the share of the cells inside that have data.
ElevationModel raster_of(const SplineSurface& surface, const Outline& outline, double cell, Vec2 align, const FitPoints& some,
                         const FitPoints& all, double gap, double& covered);

// Variances at (x, y) of a spline whose coefficients have the covariance noise^2 * inverse: of the height, of the
// slope along the unit vector (ux, uy), and the mean of the variances of the two slope components.
struct FitVariance { double height = 0, slope_along = 0, slope_mean = 0; };
FitVariance fit_variance(const SplineGrid& layout, const StencilMatrix& inverse, double noise, double x, double y,
                         double ux, double uy);

}  // namespace brae
