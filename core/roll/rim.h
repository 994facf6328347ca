// A ball meets the hole: rigid-body motion from the near rim on, the reference for whether it drops.
//
// A solid sphere, a plane green that may slope, a plumb round hole with a sharp edge, wall and floor; point contact with
// Coulomb friction, one restitution for all contacts. The three modes (free flight, contact that sticks, contact that
// slips) follow B. W. Holmes, Am. J. Phys. 59(2):129-136, 1991, M. Hubbard and T. Smith, 1999, and S. J. Hogan and
// M. Antali, R. Soc. Open Sci. 2025 (known by name, second-hand; the equations here are derived in docs/physics.md).
#pragma once

#include "core/base/vec.h"

#include <vector>

namespace brae {

// Own assumptions; their sensitivity is in docs/physics.md.
struct RimSettings {
    double friction = 0.4;
    double restitution = 0.3;
    double step_s = 1e-5;      // of contact; flight is exact
    double time_limit_s = 5;
};

// How the path would pass the hole's centre had the hole been covered. All horizontal but the speed.
struct HoleApproach {
    double offset_m = 0;       // signed, positive when the path passes to the right of the centre; |offset| < R
    double speed_mps = 0;      // along the green, at the closest approach
    double slope = 0;          // rise over run of the green round the hole
    double angle = 0;          // direction of travel there, counter-clockwise from straight downhill
    double level_decel = 0;    // resistance of the green before the rim; over the hole there is none
};

// Ball at a moment: centre, velocity, and spin as r times the angular velocity (m/s). Frame of rim_geometry.h.
struct RimState { Vec3 centre, velocity, spin; };

enum class RimMode { flight, sticking, slipping };
enum class RimEnd { captured, missed, undecided };   // undecided: still moving in or on the hole at the time limit

struct RimSample { double t = 0; RimMode mode = RimMode::flight; RimState state; };

struct RimOutcome {
    RimEnd end = RimEnd::undecided;
    RimState at;
    double time_s = 0;
    int steps = 0, impacts = 0;
    double energy_start = 0, energy_end = 0;   // J/kg, from the height of the hole's centre
    double energy_rise = 0;                    // largest rise from one step to the next; rounding only
};

// State at the near rim, rolling without side spin. False where the path comes from within the hole: a ball so slow
// that it could not have rolled there.
bool state_at_near_rim(const HoleApproach& approach, RimState& state);

// Energy of motion and height, J/kg.
double rim_energy(const RimState& state) noexcept;

// From a state that touches or flies, until the ball can no longer leave the hole, or is out of it by a ball's radius.
RimOutcome run_rim(double slope, RimState state, const RimSettings& settings = {},
                   std::vector<RimSample>* samples = nullptr);

// Both. |offset| >= R is missed; a ball that starts over the hole is captured.
RimOutcome meet_hole(const HoleApproach& approach, const RimSettings& settings = {},
                     std::vector<RimSample>* samples = nullptr);

}  // namespace brae
