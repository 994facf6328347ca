#include "core/roll/capture.h"

#include "core/base/constants.h"
#include "core/roll/capture_table.h"

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

std::string to_text(CaptureModel model) { return model == CaptureModel::rim ? "rim" : "free fall"; }

Capture rim_capture(const HoleApproach& a) noexcept {
    const double d2 = a.offset_m * a.offset_m;
    if (!(d2 < kHoleRadius * kHoleRadius)) return Capture::misses;
    const double speed = std::sqrt(a.speed_mps * a.speed_mps + 2 * a.level_decel * std::sqrt(kHoleRadius * kHoleRadius - d2));
    const CaptureLimit limit = tabled_capture_limit(a.offset_m, a.slope, a.angle);
    if (speed <= limit.all_drop_mps) return Capture::drops;
    return speed <= limit.none_drops_mps ? Capture::uncertain : Capture::misses;
}

Capture capture(CaptureModel model, const HoleApproach& a) noexcept {
    if (model == CaptureModel::free_fall || a.speed_mps == 0)
        return captured(a.offset_m, a.speed_mps) ? Capture::drops : Capture::misses;
    return rim_capture(a);
}

}  // namespace brae
