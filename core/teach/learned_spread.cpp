#include "core/teach/learned_spread.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

// figure(k): bias or spread, in its own unit; spreads as spreads.
template <class Figure>
PlayerSpread spread_from(Figure figure, double start_line_bias) {
    PlayerSpread out;
    out.start_line = StartLineSigma<PlayerSpread::Criterion>(std::hypot(figure(kAimSpread), figure(kStrokeSpread)));
    out.start_line_bias_rad = start_line_bias;
    out.launch_sigma_rel = std::clamp(std::hypot(figure(kPaceSpread), figure(kPaceStationSpread)), 1e-4, 0.25);
    // Figures in ln of the launch against those relative to it.
    out.launch_bias_rel = std::expm1(figure(kPaceBias));
    out.read_sigma_rad = std::hypot(figure(kReadSpread), figure(kReadStationSpread));
    out.read_bias_rad = figure(kReadConstant);
    return out;
}

}  // namespace

PlayerSpread learned_spread(const LessonEstimate& e) {
    return spread_from([&](PlayerFigure k) { return e.figure[k].mean; }, e.start_line.mean);
}

PlayerSpread spread_of(const PlayerPrior& prior) {
    const auto& f = prior.figure;
    return spread_from([&](PlayerFigure k) { return k < kReadSpread ? f[k].mean : std::exp(f[k].mean); }, f[kAimBias].mean + f[kStrokeBias].mean);
}

}  // namespace brae
