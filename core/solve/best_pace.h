// The pace at which one putt forgives most, found by search and not assumed.
#pragma once

#include "core/solve/putt.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// What may be wrong at one pace and still holes. Angles in degrees, all positive.
struct PaceRow {
    double past_m = 0;
    bool has_window = false;                 // the figures below mean something
    double launch_mps = 0, ball_speed_mps = 0;
    std::optional<double> aim_offset_m;
    double left_deg = 0, right_deg = 0;
    std::optional<double> high_deg, low_deg; // the same by side of the putt; none where it is straight
    double slow_mps = 0, fast_mps = 0;       // launch speeds in the solution's direction
    double ball_slow_mps = 0, ball_fast_mps = 0;   // the same off the face
    // Forgiveness, degrees times percent: the area of the ellipse whose half-axes are the direction error and the
    // speed error that hole to either side: pi min(left, right) min(launch - slow, fast - launch) / launch * 100.
    double forgiveness = 0;
    double width_deg() const { return left_deg + right_deg; }
};

struct BestPace {
    std::optional<PaceRow> best;             // of the greatest forgiveness
    std::optional<PaceRow> widest;           // of the rows, that of the widest directions alone (dying paces, mostly)
    bool at_end = false;                     // the best lies at an end of the range: more may lie beyond
    std::vector<PaceRow> rows;               // evenly over the range, slow to fast
    std::string why_none;                    // one sentence where no pace has a window, else empty
    CaptureModel capture = kDefaultCapture;  // the mechanics behind the windows
};

struct BestPaceOptions {
    double least_past_m = 0, most_past_m = 1.5;
    int rows = 16;
    double tolerance_m = 0.005;              // of the pace found
    CaptureModel capture = kDefaultCapture;
};

// question.past_m is not looked at. Where a pace has several solutions its row is of the one that forgives most.
// Solves one putt a row and about ten more round the best. Deterministic. Throws Error(usage) as solve_putt does, for
// a range outside 0-5 m or empty, and for fewer than 3 rows.
BestPace find_best_pace(const HeightField& surface, const Outline& outline, PuttQuestion question,
                        const BestPaceOptions& options = {});

}  // namespace brae
