// Green speed: what a ramp reading means for a rolling ball.
#pragma once

#include "core/base/constants.h"

#include <vector>

namespace brae {

// Deceleration on level ground, m/s^2, for a reading in feet: v0^2 / (2 S). Throws Error(usage) outside 4-16 ft.
double level_deceleration(double green_speed_ft);

// How far past the hole, on the level, a ball with this speed at the hole would stop, and the inverse.
double speed_at_hole(double past_m, double green_speed_ft);
double past_of_speed(double speed_mps, double green_speed_ft);

// A set of ramp readings: three balls one way and three back along the same line, feet.
struct RampReadings { std::vector<double> one_way, back; };
struct GreenSpeedEstimate {
    double speed_ft = 0, sigma_ft = kGreenSpeedSigmaFt;
    bool repeat = false;            // a spread over 8 in one way: roll again
    bool slope_corrected = false;   // ways differ by more than 18 in: 2 Su Sd / (Su + Sd) (Brede 1990) was used
};
// Throws Error(usage) when a way is empty or a reading is outside 2-30 ft.
GreenSpeedEstimate green_speed_from_ramp(const RampReadings& readings);

}  // namespace brae
