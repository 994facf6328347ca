// One ball at the hole, simulated at each of several restitutions: does the verdict rest on how it bounces?
#pragma once

#include "core/roll/rim.h"

#include <array>

namespace brae {

// None, the one assumed, and a lively one: own assumptions, as docs/physics.md has them.
inline constexpr std::array<double, 3> kSensitivityRestitutions{0, 0.3, 0.5};

struct CaptureSensitivity {
    std::array<bool, kSensitivityRestitutions.size()> drops{};   // in that order
    // They do not all say the same, or one was not decided in the simulation's time.
    bool uncertain = false;
};

// The rigid-body simulation itself, not its table; about a millisecond. settings.restitution is not read.
CaptureSensitivity capture_sensitivity(const HoleApproach& approach, RimSettings settings = {});

}  // namespace brae
