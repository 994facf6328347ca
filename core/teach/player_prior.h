// What is taken for likely of a player before the first putt. docs/lessons.md gives the model and the reasons.
#pragma once

#include "core/base/constants.h"

#include <array>
#include <string>

namespace brae {

// The figures of a player that a lesson learns. Angles in radians, positive to the player's right. The last six are
// natural logarithms of standard deviations.
enum PlayerFigure {
    kReadConstant,     // read: chosen line less true aim = constant + share * true aim + station's own + putt's own
    kReadShare,        // negative: too little break is read
    kAimBias,          // line of the putter at address less the chosen line
    kStrokeBias,       // start line less the line at address
    kPaceBias,         // ln(launch speed / launch speed of the true read)
    kReadSpread,       // of one putt's read, rad
    kReadStationSpread,// of what is peculiar to the read of a station, rad
    kAimSpread,        // rad
    kStrokeSpread,     // rad
    kPaceSpread,       // of one putt, in ln
    kPaceStationSpread,// of what is peculiar to the pace of a station, in ln
    kPlayerFigures
};

struct FigurePrior { double mean = 0, sd = 1; };

// Independent normal priors, weakly informative. Means of 0: no player is taken to be biased before it is seen, and no
// correction is made for the published low-side tendency. All sds and all spreads are own choices, held against the
// published make rates in docs/lessons.md.
struct PlayerPrior {
    std::array<FigurePrior, kPlayerFigures> figure{{
        {0, 1.2 * kPi / 180},             // read, constant: 1.2 degrees
        {0, 0.35},                        // read, share of the break
        {0, 1.0 * kPi / 180},             // aim at address
        {0, 0.8 * kPi / 180},             // stroke
        {0, 0.08},                        // pace: 8 % of launch speed, 17 % of distance
        {-4.966, 0.4},                    // read of one putt: 0.4 degrees
        {-4.560, 0.4},                    // read of a station: 0.6 degrees
        {-4.743, 0.4},                    // aim: 0.5 degrees
        {-4.338, 0.4},                    // stroke: 0.75 degrees
        {-2.813, 0.4},                    // pace: 6 %
        {-3.507, 0.4}}};                  // pace of a station: 3 %
};

}  // namespace brae
