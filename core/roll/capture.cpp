#include "core/roll/capture.h"

#include "core/base/constants.h"

#include <cmath>

namespace brae {

// Holmes, Am. J. Phys. 59(2):129-136, 1991; Penner, Can. J. Phys. 80:83-96, 2002, for the centred case.
double free_fall_capture_speed(double offset_m) noexcept {
    const double d2 = offset_m * offset_m;
    const double inner = kHoleRadius - kBallRadius;
    if (!(d2 <= inner * inner)) return 0;
    return (std::sqrt(kHoleRadius * kHoleRadius - d2) + std::sqrt(inner * inner - d2)) *
           std::sqrt(kGravity / (2 * kBallRadius));
}

bool captured(double offset_m, double speed_mps) noexcept {
    if (speed_mps == 0) return std::abs(offset_m) < kHoleRadius;
    const double fastest = free_fall_capture_speed(offset_m);
    return fastest > 0 && speed_mps <= fastest;
}

}  // namespace brae
