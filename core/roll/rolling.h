// The motion of one ball: a solid sphere that rolls without slipping over the surface in 3D, forwards in time.
#pragma once

#include "core/base/vec.h"
#include "core/roll/capture.h"
#include "core/roll/resistance.h"
#include "core/survey/outline.h"
#include "core/terrain/spline_surface.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// State of the contact point: horizontal position and the horizontal part of its velocity.
struct RollState { Vec2 p, v; };

// Horizontal acceleration of a rolling ball and its size of speed in 3D. With W^2 = 1 + hx^2 + hy^2 and
// Q = hxx vx^2 + 2 hxy vx vy + hyy vy^2 (docs/physics.md):
//   a = -(5/7) g grad h / W^2 - (Q / W^2) grad h - (a_level / g) (N/m) v / |v3|,  N/m = (g + Q) / W.
struct RollRate { Vec2 a; double speed3 = 0, normal = 0; };
RollRate roll_rate(const SurfaceJet& jet, Vec2 v, double level_decel) noexcept;

// Speed along the surface (3D) of a ball whose horizontal velocity is v.
double surface_speed(const SurfaceJet& jet, Vec2 v) noexcept;

enum class RollEnd { stopped, holed, left_green, airborne, rolling };
std::string to_text(RollEnd end);  // stopped, holed, left-green, airborne, rolling

struct RollSample { Vec3 p; double t = 0, v = 0; };  // v is the speed along the surface

// How the ball passed the hole's centre at its closest approach, as if the hole had been covered.
struct HolePass {
    double offset_m = 0;    // signed: positive when the path passes to the right of the hole as the ball travels
    double speed_mps = 0;
    double t = 0;
    Vec2 direction;         // unit direction of travel there
    bool uncertain = false; // whether this speed drops depends on how the ball bounces; it is not counted as holed
    std::optional<HoleApproach> approach;   // as the hole sees it, where a moving ball passed over the hole
};

struct RollPath {
    std::vector<RollSample> samples;   // first the launch, last the end; at most `sample_step_m` apart
    RollEnd end = RollEnd::rolling;
    double length_m = 0;               // horizontal
    double time_s = 0;
    Vec2 stop() const { return {samples.back().p.x, samples.back().p.y}; }
    std::optional<HolePass> pass;      // where a hole was given and the path came within 1 m of it
    CaptureModel capture = kDefaultCapture;   // the mechanics that decided
};

struct RollOptions {
    std::optional<Vec2> hole;          // a ball captured by it ends `holed`
    bool covered = false;              // true: the hole is only watched (pass), never captures
    double tolerance = 1e-10;          // local error of position (m) and velocity (m/s) a step
    double time_limit_s = 60;
    double sample_step_m = 0.05;
    std::optional<ResistanceOptions> resistance{};   // none: the same everywhere; only rolls take it, reads do not
    CaptureModel capture = kDefaultCapture;
};

// Integrates with Dormand-Prince 5(4) and dense output; the last centimetre per second is closed form on the tangent
// plane. Events (stop, hole, outline) are located to 1e-9 m. An empty outline means no edge.
// direction: horizontal, any length; speed_mps: 3D speed along the surface in pure rolling, 0 to 20 m/s.
// Throws Error(usage) for a speed that is not a number or out of range and for a start outside the outline.
RollPath roll(const HeightField& surface, const Outline& outline, Vec2 ball, Vec2 direction, double speed_mps,
              double green_speed_ft, const RollOptions& options = {});

// Exact motion on a plane of slope angle theta: X along the fall line downhill, Y to the left of downhill (both along
// the surface), T the time, for a ball at speed v and angle psi from straight downhill. Needs e = a_g / a_f < 1.
// Derivation in docs/physics.md.
struct PlaneStop { double x = 0, y = 0, t = 0; };
PlaneStop stop_on_plane(double v, double psi, double a_f, double a_g) noexcept;

}  // namespace brae
