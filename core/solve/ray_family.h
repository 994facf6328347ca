// All balls that would reach the hole at one pace: a one-parameter family of paths, run backwards from the hole.
#pragma once

#include "core/roll/rolling.h"

#include <vector>

namespace brae {

struct RayPoint {
    Vec2 p, v;        // position and forward horizontal velocity there
    double speed = 0; // along the surface
    double s = 0;     // horizontal length to the hole along the path
    double t = 0;     // time to the hole
};
enum class RayEnd { left_green, too_fast, no_putt, airborne };  // no_putt: the speed falls to 0 backwards
struct Ray {
    // The angle that names the ray, counter-clockwise from east: direction of travel at the hole, or where the ball
    // still has 10 mm/s for a pace of (next to) nothing.
    double parameter = 0;
    std::vector<RayPoint> points;  // from the hole outwards, equally spaced in s; the last is the end of the ray
    RayEnd end = RayEnd::left_green;
};

struct RayFamilyOptions {
    int first_rays = 180;
    double spacing_m = 0.25;           // largest distance wanted between neighbours, refined by inserting rays
    double step_m = 0.20;              // spacing of the points along a ray
    double tolerance = 1e-9;
    int most_rays = 2000;
};

// The family for one hole and pace, closed round the hole in its parameter. Empty with a reason where no ball stops
// at the hole (e >= 1 with pace 0) .
struct RayFamily {
    Vec2 hole;
    double green_speed_ft = 10, past_m = 0;
    std::vector<Ray> rays;             // by parameter, the last neighbours the first
    std::string why_none;
};
RayFamily trace_rays(const HeightField& surface, const Outline& outline, Vec2 hole, double green_speed_ft,
                     double past_m, const RayFamilyOptions& options = {});

// Where the family passes a ball spot: ray parameter and length, one entry a solution, found in the quads between
// neighbouring rays; a start for the polish.
struct RayHit { double parameter = 0, s = 0; };
std::vector<RayHit> hits_at(const RayFamily& family, Vec2 ball);

// One ray traced exactly to length s (or as far as it goes).
Ray trace_ray(const HeightField& surface, const Outline& outline, Vec2 hole, double green_speed_ft, double past_m,
              double parameter, double s_end, const RayFamilyOptions& options = {});

}  // namespace brae
