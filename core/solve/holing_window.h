// How much may be wrong: the start directions and launch speeds round a solution that still hole out.
#pragma once

#include "core/solve/polish.h"
#include "core/solve/putt.h"

namespace brae {

// Does this launch hole at its first pass or at rest over the hole? One roll.
bool holes_out(const PuttGround& ground, Launch launch, CaptureModel model = kDefaultCapture);

// The connected window round a launch, by the hole's mechanics and coming to rest over the hole; speeds that may or may not
// drop end it; angles to about
// 1e-5 degrees, speeds to 1e-5 of the launch. False where the launch itself does not hole (too fast for the hole).
bool holing_window(const PuttGround& ground, Launch launch, HolingWindow& window,
                   CaptureModel model = kDefaultCapture);

}  // namespace brae
