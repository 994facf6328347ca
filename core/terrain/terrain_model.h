// Everything that is known of the ground of one green: frame, outline, surface, rasters and how far to trust them.
#pragma once

#include "core/survey/survey.h"
#include "core/terrain/elevation_model.h"
#include "core/terrain/spline_surface.h"

#include <memory>
#include <string>
#include <vector>

namespace brae {

// Errors of the fitted height, as a sum of two stationary Gaussian processes with covariance s^2 exp(-d^2 / (2 L^2)):
// what is left of the independent noise after smoothing, and the correlated part of the survey itself.
// Slope along any direction then has variance s^2 / L^2 from each.
struct ErrorModel {
    double smooth_se_m = 0, smooth_length_m = 1;
    double correlated_se_m = 0, correlated_length_m = 3;
};

// Points that cleaning had taken away and that were put back, against the surface that they are now part of.
struct PutBackShare {
    std::size_t points = 0;             // of them on the green
    double scatter_m = 0;               // their root mean square about the surface, m
    double noise_rise = 1;              // by how much they raise the scatter of all the points, as a ratio
    // Beyond this ratio they are probably no turf, and every read near them is spoilt.
    bool no_turf() const { return noise_rise > 1.3; }
    friend bool operator==(const PutBackShare&, const PutBackShare&) = default;
};

struct TerrainModel {
    Frame frame;
    Outline outline;
    std::shared_ptr<const SplineSurface> surface;
    ElevationModel grid;
    double noise_m = 0;                 // estimated independent noise of one survey point, m
    double smoothing = 0;               // penalty on third derivatives, see docs/surface.md
    ErrorModel error;
    std::size_t points_read = 0, points_used = 0;
    std::vector<Vec3> checks;           // independent heights, no part of the fit (check_points.h)
    std::vector<Vec2> reach;            // ring round the survey's data, in which the edge may be drawn anew (data_reach.h); empty: not known
    PutBackShare put_back;              // put_back_share.h
    std::vector<std::string> warnings;
};

// Slope over the green in the mask, as ratios, with the standard error of the median.
struct SlopeSummary { double median = 0, p90 = 0, max = 0, median_se = 0; };

}  // namespace brae
