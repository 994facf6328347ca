// The engine of one forward roll, without checks of its arguments and with the choice of what to keep.
#pragma once

#include "core/roll/capture.h"
#include "core/roll/rolling.h"

namespace brae {

struct RollRun {
    std::optional<Vec2> hole;
    bool covered = false;
    double tolerance = 1e-10;
    double time_limit_s = 60;
    double sample_step_m = 0;   // 0: no samples
    // Over 0: the roll ends `rolling` at the first closest approach to the hole nearer than this that is no capture.
    // An uncovered hole lets a ball go on that could still come to rest over it.
    double end_at_pass_m = 0;
    const ResistanceOptions* resistance = nullptr;   // none: constant
    CaptureModel capture = kDefaultCapture;
};

// How the roll ended; `at` is the state there, with its length and time.
struct RollOutcome {
    RollEnd end = RollEnd::rolling;
    RollState at;
    double length_m = 0, time_s = 0;
    int steps = 0;
    std::optional<HolePass> pass;
};

// start: position and horizontal velocity. samples may be null.
RollOutcome run_roll(const HeightField& surface, const Outline& outline, RollState start, double level_decel,
                     const RollRun& run, std::vector<RollSample>* samples);

// Horizontal velocity of a ball that moves at this speed along the surface in this horizontal direction.
Vec2 horizontal_velocity(const SurfaceJet& jet, Vec2 direction, double speed3) noexcept;

}  // namespace brae
