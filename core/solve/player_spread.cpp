#include "core/solve/player_spread.h"

#include "core/base/units.h"

#include "core/base/error.h"

#include <cmath>
#include <fmt/format.h>

namespace brae {

void LaunchErrors::check_model(CaptureModel asked) const {
    if (capture != asked)
        throw usage_error(fmt::format("the player's spread holds for the hole's {} model and the putt is judged by {}; one model for both is wanted",
                                      to_text(capture), to_text(asked)));
}

template <CaptureModel Model>
double MechanicsSpread<Model>::direction_sigma_rad() const { return std::hypot(start_line.rad, read_sigma_rad); }

template <CaptureModel Model>
void MechanicsSpread<Model>::check() const {
    if (!(start_line.rad >= 0 && read_sigma_rad >= 0))
        throw usage_error(fmt::format("the spreads of start line and read are {} and {} rad; none may be negative",
                                      start_line.rad, read_sigma_rad));
    const double direction = direction_sigma_rad();
    if (!(direction >= 1e-5 && direction <= 0.5))
        throw usage_error(fmt::format("the spread of start line and read together is {} rad; 1e-5 to 0.5 are wanted", direction));
    if (!(launch_sigma_rel >= 1e-5 && launch_sigma_rel <= 0.25))
        throw usage_error(fmt::format("the relative spread of launch speed is {}; 1e-5 to 0.25 are wanted", launch_sigma_rel));
    if (!(std::abs(direction_bias_rad()) <= 0.5 && std::abs(launch_bias_rel) <= 0.5))
        throw usage_error(fmt::format("the biases are {} rad and {} of the launch speed; at most 0.5 either way is wanted",
                                      direction_bias_rad(), launch_bias_rel));
}

template <CaptureModel Model>
LaunchErrors MechanicsSpread<Model>::errors() const {
    check();
    return {Model, direction_sigma_rad(), direction_bias_rad(), launch_sigma_rel, launch_bias_rel};
}

template struct MechanicsSpread<CaptureModel::rim>;
template struct MechanicsSpread<CaptureModel::free_fall>;

PlayerSpread spread_of(const PlayerFigures& figures) {
    PlayerSpread out;
    out.start_line = StartLineSigma<PlayerSpread::Criterion>(radians(figures.start_line_deg));
    out.launch_sigma_rel = figures.pace_pct / 100;
    out.read_sigma_rad = radians(figures.read_deg);
    return out;
}

}  // namespace brae
