#include "core/roll/green_speed.h"

#include "core/base/error.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

namespace brae {

double level_deceleration(double green_speed_ft) {
    if (!(green_speed_ft >= kSlowestGreenFt && green_speed_ft <= kFastestGreenFt))
        throw usage_error(fmt::format("the green speed is {} ft; {} to {} ft are wanted", green_speed_ft,
                                      kSlowestGreenFt, kFastestGreenFt));
    return kRampReleaseMps * kRampReleaseMps / (2 * kFoot * green_speed_ft);
}

double speed_at_hole(double past_m, double green_speed_ft) {
    if (!(past_m >= 0) || !std::isfinite(past_m))
        throw usage_error(fmt::format("the pace is {} m past the hole; 0 or more is wanted", past_m));
    return std::sqrt(2 * level_deceleration(green_speed_ft) * past_m);
}

double past_of_speed(double speed_mps, double green_speed_ft) {
    return speed_mps * speed_mps / (2 * level_deceleration(green_speed_ft));
}

namespace {

// Mean of one way; notes in `wide` a spread over 8 in (the procedure's limit).
double mean_of(const std::vector<double>& feet, const char* way, bool& wide) {
    if (feet.empty()) throw usage_error(fmt::format("the ramp readings {} are empty; at least one is wanted", way));
    for (double f : feet)
        if (!(f >= 2 && f <= 30))
            throw usage_error(fmt::format("a ramp reading {} is {} ft; 2 to 30 ft are wanted", way, f));
    const auto [low, high] = std::minmax_element(feet.begin(), feet.end());
    wide = wide || *high - *low > 8.0 / 12 + 1e-9;
    return std::accumulate(feet.begin(), feet.end(), 0.0) / double(feet.size());
}

}  // namespace

GreenSpeedEstimate green_speed_from_ramp(const RampReadings& readings) {
    GreenSpeedEstimate out;
    const double a = mean_of(readings.one_way, "one way", out.repeat);
    const double b = mean_of(readings.back, "back", out.repeat);

    // Ways that differ by more than 18 in say that the site slopes: A. D. Brede, USGA Green Section Record 28(6), 1990.
    out.slope_corrected = std::abs(a - b) > 18.0 / 12 + 1e-9;
    out.speed_ft = out.slope_corrected ? 2 * a * b / (a + b) : (a + b) / 2;
    return out;
}

}  // namespace brae
