// The likelihood of one putt for given figures of the player, its own errors integrated out, with its derivatives.
#pragma once

#include "core/teach/outcome_strips.h"

#include <optional>
#include <vector>

namespace brae {

// One putt's errors before it is seen, given the player: turn of the start against the true aim, and push, both normal.
struct LaunchLaw { double turn = 0, turn_var = 1, push = 0, push_var = 1; };

// What was seen of the directions, beside where the ball ended. aim_bias and aim_var are the player's aim at address,
// whose part in the turn's variance is aim_var / turn_var. aim_shift: true aim of the real ground less that of the model.
struct DirectionLaw { double aim_bias = 0, aim_var = 1, aim_shift = 0; };

struct PuttEvidence {
    OutcomeStrips outcome;
    std::optional<SeenAim> aim;
    double aim_sigma = 0;              // rad, of the observer
    std::optional<GateSide> gate;
    double gate_turn = 0;              // direction of the gate's middle less the model's true aim, rad
};

// On the line: within half a degree as seen from behind. In the gate's middle: within one degree, blurred by 0.2 degrees.
// A gate of 60 mm at 0.50 m leaves that degree (docs/references.md). Own choices.
inline constexpr double kOnLine = 0.5 * kPi / 180, kGateHalf = 1.0 * kPi / 180, kGateBlur = 0.2 * kPi / 180;

struct LikelihoodGradient {
    double turn = 0, turn_var = 0, push = 0, push_var = 0, aim_bias = 0, aim_var = 0, aim_shift = 0;
};

// ln of the integral over the strips; with gradient where one is wanted. shares, where wanted: each strip's part of it.
// Nothing seen (no strips): 0 and no slope, whatever aim and gate say.
double log_likelihood(const PuttEvidence& seen, const LaunchLaw& law, const DirectionLaw& direction,
                      LikelihoodGradient* gradient = nullptr, std::vector<double>* shares = nullptr);

// Of one strip: mean and variance of push given the player and what was seen.
struct PushGiven { double mean = 0, var = 0; };
PushGiven push_given(const LikelihoodStrip& strip, const LaunchLaw& law);

// Of the aim at address (against the chosen line), given the turn and what was seen of it.
PushGiven aim_given(const PuttEvidence& seen, double turn, const LaunchLaw& law, const DirectionLaw& direction);

// Chance of an outcome.
double chance_of(const OutcomeStrips& outcome, const LaunchLaw& law);

}  // namespace brae
