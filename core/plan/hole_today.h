// Today first: a few ranked places apart from one another, and where to roll the ramp.
#pragma once

#include "core/plan/green_thirds.h"
#include "core/plan/hole_judge.h"

namespace brae {

struct TodayOptions {
    std::size_t most = 3;
    double apart_m = 3.0;              // between the places, and from `recent`
};

// Ranked by score less what is alike: the second and third lie in other parts of the green where the score allows. Each `why`
// is one line. Empty with a reason where none is fair or all are near to a recent hole.
struct TodayHoles {
    std::vector<HolePosition> best;
    std::string why_none;
};
TodayHoles choose_today(const GreenJudgement& judged, const GreenThirds& thirds, const std::vector<Vec2>& recent, const TodayOptions& options = {});

// The flattest square of the green for the ramp, 3 x 3 m (10 x 10 ft are asked for), and the direction to roll in: along its
// fall line, up and down, where the correction for slope is exact (Brede 1990).
struct RampSite {
    Vec2 centre;
    double side_m = 3;
    double bearing_deg = 0;            // uphill, 0 to 360
    double slope = 0, worst_slope = 0; // mean and steepest in the square, ratios
    Vec2 corners[4];
    std::string sentence;
};
// Empty where no such square fits on the green outside the closed zones. The speed only tells how far the two ways will differ.
std::optional<RampSite> flattest_site(const TerrainModel& terrain, const std::vector<std::vector<Vec2>>& closed, double green_speed_ft, double side_m = 3);

}  // namespace brae
