// The joint covariance of what a finished ball reveals and of the read that it is judged against: both answer to the
// same green speed and the same errors of the ground.
#pragma once

#include "core/solve/finished_ball.h"
#include "core/solve/hole_line.h"
#include "core/solve/polish.h"

#include <array>
#include <initializer_list>
#include <optional>
#include <utility>

namespace brae {

// Angles counter-clockwise, rad; speeds m/s; the crossing and the pace there, m.
enum RevealQuantity { kAngle, kSpeed, kReadAngle, kReadSpeed, kCrossing, kPast, kRevealQuantities };

struct ReadLaunch { Launch launch; double time_s = 0; };

struct RevealCase {
    const HeightField& surface;
    Vec2 ball, stop;
    double green_speed_ft = 10, past_m = 0, stop_sigma_m = 0;
    Launch launch;                        // dies at stop
    std::optional<ReadLaunch> read;
    HoleLine line;
    std::optional<Crossing> crossing;     // none: short
};

struct RevealCovariance {
    bool defined = false;
    std::array<std::array<double, kRevealQuantities>, kRevealQuantities> c{};
    double at(RevealQuantity i, RevealQuantity j) const { return c[i][j]; }
    // Standard error of a sum of multiples of the quantities.
    double se(std::initializer_list<std::pair<RevealQuantity, double>> sum) const;
};

RevealCovariance reveal_covariance(const RevealCase& what, const RevealOptions& options);

}  // namespace brae
