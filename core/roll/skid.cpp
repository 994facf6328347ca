#include "core/roll/skid.h"

#include "core/roll/green_speed.h"

#include <cmath>

namespace brae {

// Standard mechanics of a sphere struck without spin: friction slows it until it rolls at 5/7 of its speed.
Skid skid(double ball_speed_mps, double friction) noexcept {
    const double mu_g = friction * kGravity;
    return {12 * ball_speed_mps * ball_speed_mps / (49 * mu_g), 2 * ball_speed_mps / (7 * mu_g),
            kRollFactor * ball_speed_mps};
}

namespace {

// launch^2 / ball_speed^2: skid length and roll of the rest, 12 u^2/(49 mu g) + (5u/7)^2/(2a) = launch^2/(2a).
double squared_ratio(double green_speed_ft, double friction) {
    return kRollFactor * kRollFactor + 24 * level_deceleration(green_speed_ft) / (49 * friction * kGravity);
}

}  // namespace

double ball_speed_for_launch(double launch_mps, double green_speed_ft, double friction) {
    return launch_mps / std::sqrt(squared_ratio(green_speed_ft, friction));
}

double launch_for_ball_speed(double ball_speed_mps, double green_speed_ft, double friction) {
    return ball_speed_mps * std::sqrt(squared_ratio(green_speed_ft, friction));
}

}  // namespace brae
