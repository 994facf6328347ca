// What is refused before a surface is fitted: too few points, more than one height in a place, another unit.
#pragma once

#include "core/base/progress.h"
#include "core/survey/survey.h"
#include "core/terrain/spline_fit.h"

namespace brae {

// Throws Error where more than 35 % of the points inside the outline were taken for clutter above the turf: what is left
// may be one storey of two. Without a cleaning it says nothing.
void require_one_storey(const Survey& survey, const Outline& outline, const Progress& progress = {});

// Throws Error where the points cannot make one surface over an outline of the given area: fewer than 10, or fewer than
// one per 16 m^2, a relief of more than twice the root of the area, or two heights more than 0.3 m apart, with nothing
// between, in more than a fifth of the small cells that hold four points or more.
void require_surface(const std::vector<FitPoint>& points, double area_m2, const Progress& progress = {});

// Throws Error where the fitted surface cannot be turf: noise of 0.15 m or more, or a median slope over 50 %.
void require_turf(double noise_m, double median_slope);

}  // namespace brae
