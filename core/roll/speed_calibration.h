// Green speed from rolled balls on the surveyed ground, and whether the two agree. docs/physics.md.
#pragma once

#include "core/roll/rolling.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// How alike a ramp lets balls go, 1 sigma of the launch speed. Own choice: three balls then lie 10 cm apart on average on a green of
// 10 ft, and the procedure of ramp readings asks for a repeat from 8 in (20 cm) on.
inline constexpr double kRampSpreadRel = 0.01;

// One ball that was rolled and came to rest.
struct RolledBall {
    Vec2 start{}, toward{};                 // it started from here towards this point (any distance away)
    Vec2 finish{};
    std::optional<double> launch_mps{};     // rolling launch speed; from a ramp kRampReleaseMps. None: unknown
    int launch_group = -1;                  // rolls with the same number from 0 up share one unknown launch speed
    double finish_sigma_m = 0.03;           // each way
    double direction_sigma_rad = 0.0087;    // half a degree: how well the start line is known
    double launch_sigma_mps = 0;            // of a known launch speed, and of each ball of a group round the group's own
};

struct SpeedCalibrationOptions {
    double significance = 0.01;     // chance of a false word that model and green disagree, for each of two tests
    double most_sigma_ft = 1.5;     // above it the rolls do not tell the green speed
};

// Seen finish less modelled, along and to the right of the line from start to modelled finish.
struct RollResidual { double along_m = 0, across_m = 0, along_sigma_m = 0, across_sigma_m = 0, launch_mps = 0; };

// A ground that is tilted against the survey, as the rolls would have it.
struct TiltError { double slope = 0, slope_se = 0, falls_to_bearing_deg = 0, speed_ft = 0, p_value = 1; };

struct SpeedCalibration {
    bool told = false;              // false: the rolls do not tell the green speed, see sentence
    double speed_ft = 0;
    double sigma_ft = 0;            // from the stated errors of the rolls
    double scaled_sigma_ft = 0;     // times sqrt(chi-square / degrees of freedom) where that is over 1
    double chi_square = 0, p_value = 1;
    int degrees_of_freedom = 0;
    bool agrees = true;             // the rolls are what this surface and speed give, within their errors
    double mean_along_m = 0, mean_across_m = 0;   // of the residuals
    std::optional<TiltError> tilt;  // where the rolls can tell one; see its p_value
    std::vector<RollResidual> rolls;
    std::string sentence;           // its +/- holds the truth in nine of ten cases
};

// Weighted least squares (Levenberg-Marquardt) on the places of rest, for the green speed and the unknown launch speeds.
// Each roll weighs by its finish, start-line and launch errors. Throws Error(usage) for no rolls, more than 200, and
// rolls without meaning, among them a start or finish outside the outline (an empty one has no edge).
SpeedCalibration calibrate_speed(const HeightField& surface, const Outline& outline, const std::vector<RolledBall>& rolls,
                                 const SpeedCalibrationOptions& options = {});

// Chance that chi-square with these degrees of freedom exceeds x: Q(n/2, x/2), to 1e-10.
double chi_square_tail(double x, int degrees_of_freedom) noexcept;

}  // namespace brae
