// What one station of a lesson must be, in limits that a coach can state; each is optional but the distance.
#pragma once

#include "core/solve/putt.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// Both ends belong to it.
struct Span {
    double low = 0, high = 0;
    bool holds(double value) const { return value >= low && value <= high; }
    double middle() const { return 0.5 * (low + high); }
};

struct StationWish {
    std::string note;                    // for the sheet: "downhill, short"
    Span distance_m{2, 3.5};             // ball to hole
    std::optional<Span> break_m;         // its size
    std::optional<PuttSide> side;        // straight: an aim within 1 cm of the hole's centre
    std::optional<Span> slope_along;     // of the straight line from ball to hole, ratio, positive uphill
    bool over_tier = false;              // somewhere on the line it rises or falls a step, see climbs_tier
    std::optional<Span> chance;          // to hole it, for the player of the request
    std::optional<double> past_m;        // pace; the request's where it is not told
    // Like an earlier wish of the list (by index): the same hand, the break within the larger of 2 cm and a tenth, the
    // distance within 0.5 m, and the ball at least 2 m away, so that the answer is not simply remembered. Of its other
    // limits only distance and pace count.
    std::optional<std::size_t> like;
};

inline constexpr double kStraightAimM = 0.01;
inline constexpr double kLikeBreakM = 0.02, kLikeBreakShare = 0.10, kLikeDistanceM = 0.5, kLikeApartM = 2.0;

// Is there a step on the line: over some 2 m of it the ground rises or falls by 0.15 m or more, and by 3 points more slope
// than both ends of the line (0.5 m each) have. Own definition.
bool climbs_tier(const HeightField& surface, Vec2 from, Vec2 to);

// Throws Error(usage), naming the wish by its number, for limits that contradict one another or that no putt can have: a
// low end above the high one, a straight putt with a break, a chance outside 0 to 1, a distance outside 0.3 to 20 m, a
// likeness to itself or to a later wish, a pace outside 0 to 5 m.
void check_wishes(const std::vector<StationWish>& wishes);

}  // namespace brae
