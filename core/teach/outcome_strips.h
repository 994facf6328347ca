// What one seen putt says about its launch: the likelihood over (turn, push) as strips of constant turn.
#pragma once

#include "core/teach/station_response.h"

#include <vector>

namespace brae {

// Along push the likelihood is either a normal of mean `low` and sigma `high` (rest), or 1 between low and high.
// log_weight holds the width of the strip in turn and how well it agrees.
struct LikelihoodStrip {
    double turn = 0, log_weight = 0;
    bool normal = false;
    double low = 0, high = 0;
};

struct OutcomeStrips {
    std::vector<LikelihoodStrip> strips;
    bool from_stop = false;      // by the place of rest, not by an inequality only
    bool no_launch = false;      // no launch in the table comes near what was seen; then strips is empty
    double noise_turn = 0;       // 1 sigma of turn that the place of rest leaves, rad
};

// Holed: the holing window. Lip-out: over the hole and not in it; its place of rest is not looked at, since the rim turned
// the ball. Off the green, short, passed: inequalities; with a place of rest, the normal noise of that place times the
// side, which is judged on the line through the hole and blurred by 2 cm.
OutcomeStrips outcome_strips(const StationResponse& station, const SeenPutt& putt);

// The same for a class alone, as when chances of what may happen are worked out.
OutcomeStrips outcome_strips(const StationResponse& station, PuttOutcome outcome);

}  // namespace brae
