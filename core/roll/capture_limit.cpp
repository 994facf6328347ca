#include "core/roll/capture_limit.h"

#include "core/base/constants.h"

#include <cmath>

namespace brae {

CaptureLimit capture_limit(HoleApproach approach, const RimSettings& settings, double resolution_mps) {
    if (!(std::abs(approach.offset_m) < kHoleRadius)) return {};
    const auto drops = [&](double speed) {
        approach.speed_mps = speed;
        return meet_hole(approach, settings).end == RimEnd::captured;
    };
    // Halves between a speed that drops and one that does not.
    const auto between = [&](double in, double out) {
        while (std::abs(out - in) > resolution_mps) {
            const double mid = 0.5 * (in + out);
            (drops(mid) ? in : out) = mid;
        }
        return in;
    };

    CaptureLimit limit;
    bool all = true;
    double last_drop = 0;
    const int n = static_cast<int>(std::lround(kCaptureScanEndMps / kCaptureScanMps));
    for (int k = 1; k <= n; ++k) {
        const double speed = k * kCaptureScanMps;
        if (drops(speed)) {
            last_drop = speed;
        } else if (all) {
            limit.all_drop_mps = between(speed - kCaptureScanMps, speed);
            all = false;
        }
    }
    if (all) limit.all_drop_mps = kCaptureScanEndMps;
    limit.none_drops_mps = last_drop > limit.all_drop_mps ? between(last_drop, last_drop + kCaptureScanMps) : limit.all_drop_mps;
    return limit;
}

}  // namespace brae
