// The fastest ball that the hole takes, found by trying speeds on the simulation of the rim.
#pragma once

#include "core/roll/rim.h"

namespace brae {

// Between the two it depends on how the ball bounces: some speeds drop and some do not ("uncertain").
struct CaptureLimit {
    double all_drop_mps = 0;    // every speed tried below this drops
    double none_drops_mps = 0;  // no speed tried above this drops; the same, but for lip-outs that bounce back in
};

// Speeds are tried every 40 mm/s from 40 mm/s to 2.6 m/s and each change is halved down to 0.1 mm/s, so that windows
// narrower than 40 mm/s may be overlooked. The speed of `approach` is not read.
inline constexpr double kCaptureScanMps = 0.04, kCaptureScanEndMps = 2.6;
CaptureLimit capture_limit(HoleApproach approach, const RimSettings& settings = {}, double resolution_mps = 1e-4);

}  // namespace brae
