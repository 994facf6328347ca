// The read of one ball spot from that of a neighbour, by a narrow fan of rays from the hole: for spots one after the
// other, where the whole green at once is not wanted.
#pragma once

#include "core/base/vec.h"
#include "core/terrain/spline_surface.h"

#include <optional>

namespace brae {

// A ball spot with the ray that ends on it.
struct SpotRead {
    Vec2 ball;
    double parameter = 0, s = 0;             // of the ray (Ray::parameter), and its length from its start to the ball
    Vec2 velocity;                           // horizontal, of the launch
    double launch_mps = 0;                   // along the surface
    double time_s = 0;                       // to the hole
    Vec2 parameter_by_ball, s_by_ball;       // gradients: how the ray and its length change with the ball
    int passes = 0;                          // fans traced

    // Where the start line crosses the line through the hole square to the putt, positive to the player's right;
    // not a number where the start is 90 degrees or more off.
    double aim_offset_m(Vec2 hole) const noexcept;
};

// A start without a neighbour: a guess of the ray, and how far off it may be.
struct SpotGuess { double parameter = 0, s = 0, parameter_range = 0.02; };

// For one hole and pace. Safe to use from several threads.
//
// Domain: any surface; hole_speed under 10 mm/s is the ball that dies at the hole, which needs e < 1 there.
// Accuracy, as the tests have it on waves and on a spline with 0.3 mm of roughness, putts of 3 to 5 m: aim offset within
// 0.4 mm and launch within 0.4 mm/s at a tolerance of 1e-5, within 2e-6 at 1e-10.
// Degenerate: no answer near a fold, where the gradients do not exist, where a ray ends before the ball (the speed
// falls to nothing, it flies), and where eight fans do not settle it. The answer lies on the neighbour's side of a fold.
// The edge is not looked at. Same bits on every vector target.
class SpotReader {
public:
    // The surface must outlive it. tolerance: local error of a step, m and m/s, 1e-13 to 1e-2.
    SpotReader(const HeightField& surface, Vec2 hole, double level_decel, double hole_speed, double tolerance = 1e-6);

    std::optional<SpotRead> read(Vec2 ball, const SpotRead& neighbour) const;
    std::optional<SpotRead> read(Vec2 ball, const SpotGuess& guess) const;

private:
    struct Start { double parameter, s, half_width; };
    std::optional<SpotRead> settle(Vec2 ball, Start start) const;

    const HeightField& surface_;
    const SplineSurface* spline_;
    Vec2 hole_;
    double level_decel_, hole_speed_, tolerance_, first_step_;
    SurfaceJet jet_;                         // at the hole
    bool dying_;
};

}  // namespace brae
