// Several holes at once on a practice green: fair places so far apart, clear of the stations that the coach keeps there.
#pragma once

#include "core/plan/hole_positions.h"

#include <string>
#include <vector>

namespace brae {

// The ground of one practice station: its hole stays, its ball's way and what people stand on are kept clear of.
struct StationGround {
    std::string label;
    Vec2 ball, hole, marker;
    std::vector<Vec2> path;     // of the ball; may be empty
};
struct PracticeRules {
    int count = 4;              // holes, those of the stations among them
    double apart_m = 5;         // one from another
    double clear_m = 1;         // from the ways of the stations' balls, their ball spots and markers
    double recent_m = 1;        // from plugs that have not healed
};

struct PracticeHole {
    Vec2 p;
    bool of_station = false;    // the coach's stations play to it: fixed
    std::string why;            // of the place it was chosen from
    double score = 0;
};
struct PracticeHoles {
    std::vector<PracticeHole> holes;   // those of stations first, then in the order of choice
    std::string why_fewer;             // empty where as many fit as were asked for; else which rule keeps more away
    double widest_m = 0;               // the spacing, to a decimetre, up to which so many would fit; 0 where none does
};

// Chooses among `fair` places: the best by score, then again and again the best that keeps all rules; where so fewer fit than
// asked, the places that stand least in the way of others. Deterministic. Stations that share a hole (within 5 cm) count once.
// Throws Error(usage) for a count outside 1 to 18 or distances that are negative or no numbers.
PracticeHoles practice_holes(const std::vector<HolePosition>& fair, const std::vector<StationGround>& stations, const std::vector<Vec2>& plugs,
                             const PracticeRules& rules);

// What holes and stations get in each other's way with, in sentences: a hole on the way of a ball, under a spot or a marker, or
// near to another hole. Empty where nothing does.
std::vector<std::string> practice_clashes(const std::vector<Vec2>& holes, const std::vector<StationGround>& stations, const PracticeRules& rules);

}  // namespace brae
