// The surface against heights that are no part of it: levels beside a cloud or raster, and marks on the green.
#pragma once

#include "core/survey/survey.h"
#include "core/terrain/terrain_model.h"

#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

namespace brae {

// Points to compare with. None of them is in the fit: beside a cloud or raster the heights of plain levels and of marks are
// not used for the surface (read_survey), so what is left over is the error of an independent survey and no residual.
// Edge points are left out (longer grass begins there), tier strings too (they are in the fit), and where levels stand alone
// there is nothing to compare with. Only points `kCheckInsideM` inside the outline and not in a gap.
inline constexpr double kCheckInsideM = 0.5;
std::vector<Vec3> check_points(const Survey& survey, const Outline& outline);
// Those of them that lie so far inside an outline, which may be another one than that of the survey.
std::vector<Vec3> checks_on_green(const std::vector<Vec3>& checks, const Outline& outline);

// Surface less check points, m, and the trend of the differences, by generalised least squares:
//   a + t . (p - c) - dome |p - c|^2 / R^2,   c the middle and R the half width of the check points,
// so `dome` is how much the surface stands up in the middle against the edge, whatever point is taken as the middle. Photo
// surveys bend like this where the lens is not well known (James and Robson 2014). The covariance is that of the surface's own
// stated errors as far as they are shorter than half of R, and independent noise of the check points, whose size the data
// tell by restricted likelihood (Patterson and Thompson 1971). Errors longer than that are what is looked for.
struct CheckResult {
    std::size_t count = 0;
    double mean_m = 0, rms_m = 0;
    bool fitted = false;                    // eight points or more that settle the trend; else the rest is empty
    double point_noise_m = 0;               // of one check point
    double tilt_x = 0, tilt_y = 0, tilt_se = 0;   // ratio; the error is the larger of the two
    double dome_m = 0, dome_se_m = 0, radius_m = 0;
    bool tilted = false, domed = false;     // beyond two standard errors, widened to Student's t where points are few
    double dome_slope() const { return radius_m > 0 ? 2 * std::abs(dome_m) / radius_m : 0; }   // at R from the middle, ratio
};
CheckResult compare_with_checks(const TerrainModel& terrain);   // of checks_on_green

// One sentence for the warnings where the surface is domed; empty where it is not.
std::string dome_sentence(const CheckResult& check);

}  // namespace brae
