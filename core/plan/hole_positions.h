// Hole positions: the limits that make one fair, and what is said of a place and of a day. The judgement is in hole_judge.h.
#pragma once

#include "core/base/constants.h"
#include "core/base/progress.h"
#include "core/roll/capture.h"
#include "core/solve/player_spread.h"
#include "core/terrain/terrain_model.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// The limits. Everyday defaults; names, ranges, sources and the competition profile are in hole_settings.h.
struct HoleLimits {
    // By the ground.
    double edge_m = 4 * kPace;             // four paces (Lemons 2008)
    double guarded_extra_m = 1 * kPace;    // so much more over a bunker or a steep bank
    double guard_reach_m = 2 * kPace;      // a bunker so near beyond the edge guards it
    double bank_slope = 0.06;              // an edge that falls away outwards by more is a bank
    double radius_m = 3 * kFoot;           // ground judged round the hole: 3 ft (Lemons 2008)
    double slope_ceiling = 0.03;           // up to 3 % ...
    double slope_times_speed = 0.30;       // ... and 30/S %, whichever is less
    double slope_change = 0.010;           // largest departure of the slope inside the radius from its mean
    double uniform_m = 3 * kFoot;          // the grade is the hole's own out to here (Lemons 2008)
    double steep_m = 3 * kFoot;            // from ground on which a ball gathers speed (Lemons 2008) ...
    double steep_times_speed = 0.54;       // ... which is over 54/S % (field figure)
    double approach_m = 4 * kPace;         // free green on the side that is played from

    // By the ball's motion.
    double stop_within_m = 0.61;           // from everywhere a ball can be stopped so near: 2 ft (1981)
    double stoppable_share = 1.0;          // ... from so much of the green
    double run_past_m = 0.61;              // the slowest putt from above, off by a hole radius, stops so near
    double easy_putts = 2.2;               // expected putts at most so many ...
    double easy_of_level = 0.60;           // ... from so much of the share that level ground would give
    double window_of_level = 0.5;          // narrowest direction window from 1 and 2 m, against level ground
    PlayerSpread player = assumed_player();

    double spacing_m = 0.5;                // of the candidates
    double spot_spacing_m = 0.5;           // of the ball spots
    double apart_m = 3.0;                  // between holes of following days
    CaptureModel capture = kDefaultCapture;   // behind the holing window
};

// One criterion's verdict on a place, in words and numbers.
struct Criterion {
    std::string name;      // "edge", "slope", ...: the rows of hole_criterion_names()
    bool pass = false;
    double value = 0, limit = 0;
    std::string unit;      // "m" or "%"
    std::string sentence;  // "2.1 % is under the 3.0 % allowed at 10.0 ft"
    bool measured = true;  // false where a ball does not stop, so that the value only ranks
    bool at_least = false; // the value is to be at least the limit, else at most
};

struct HolePosition {
    Vec2 p;
    double score = 0;      // 0 to 1, the least margin over the criteria and the size of the window; only ranks
    double slope = 0;      // ratio, mean inside the radius
    double edge_m = 0;
    std::vector<Criterion> criteria;
    bool fair = false;
    double putts = 0;      // expected putts, mean over the green, of the set player: how difficult; 0 where not worked out
    std::string day;       // "1", "2", ... where a rotation was asked for
    std::string why;       // one line
};

struct HolePlan {
    std::vector<HolePosition> positions;   // fair ones, ranked, at least apart_m from one another; one a day if asked
    std::string why_none;                  // the limit that is closest, and the speed that would allow one
    std::size_t candidates = 0, fair = 0;
    double fair_area_m2 = 0;
};

// How much of the green is fair at some green speed.
struct FairAtSpeed { double green_speed_ft = 0, area_m2 = 0; };

}  // namespace brae
