// One path run backwards in time from the hole: the work-horse of the ray family.
#pragma once

#include "core/solve/ray_family.h"

namespace brae {

// Where a backward path starts: at the hole with its speed there, or, for a pace that is next to nothing, where the
// ball that dies at the hole still has 10 mm/s, displaced by the closed form on the tangent plane.
struct BackStart {
    RollState state;
    double s = 0, t = 0;   // horizontal length and time from there to the hole
    bool dying = false;    // the second kind
    double e = 0;          // a_g / a_f at the hole; with e >= 1 a dying start does not exist
};
// angle: of the direction of travel at the start, counter-clockwise from east.
BackStart back_start(const HeightField& surface, Vec2 hole, double level_decel, double hole_speed, double angle);

struct BackRun {
    double s_end = 1e9;        // stop here, exactly
    double tolerance = 1e-9;
    double step_m = 0;         // 0: no points but the last
    bool speeds = true;        // fill RayPoint::speed of the points
};
struct BackOutcome {
    RayPoint last;             // at s_end where reached, else where the path ended
    bool reached = false;
    RayEnd end = RayEnd::left_green;
};
// outline null: no edge. points may be null; else the points at multiples of step_m and the last are appended.
BackOutcome trace_back(const HeightField& surface, const Outline* outline, const BackStart& start, double level_decel,
                       const BackRun& run, std::vector<RayPoint>* points);

// The family, refined everywhere or, with a focus, only round that spot; `speeds` as above.
RayFamily trace_family(const HeightField& surface, const Outline& outline, Vec2 hole, double green_speed_ft,
                       double past_m, const RayFamilyOptions& options, const Vec2* focus, double s_end);

}  // namespace brae
