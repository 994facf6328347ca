#include "core/teach/learned_spread.h"

#include <algorithm>
#include <cmath>

namespace brae {

PlayerSpread learned_spread(const LessonEstimate& e) {
    const auto mean = [&](PlayerFigure k) { return e.figure[k].mean; };
    PlayerSpread out;
    out.start_line = StartLineSigma<PlayerSpread::Criterion>(std::hypot(mean(kAimSpread), mean(kStrokeSpread)));
    out.start_line_bias_rad = e.start_line.mean;
    out.launch_sigma_rel = std::min(0.25, std::hypot(mean(kPaceSpread), mean(kPaceStationSpread)));
    // Figures in ln of the launch against those relative to it.
    out.launch_bias_rel = std::expm1(mean(kPaceBias));
    out.read_sigma_rad = std::hypot(mean(kReadSpread), mean(kReadStationSpread));
    return out;
}

}  // namespace brae
