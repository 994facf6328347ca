// Picks the local frame of a survey from where its points lie.
#pragma once

#include "core/survey/coordinate_system.h"
#include "core/survey/frame.h"
#include "core/survey/outline.h"

#include <string>
#include <vector>

namespace brae {

// Without a system: coordinates that are all under this many metres are used as they are.
inline constexpr double kLocalCoordinatesBelowM = 10'000;
// A system whose point scale differs from 1 by more than this is left for a local transverse Mercator: over a 10 m putt
// the difference is 1 mm.
inline constexpr double kLargestScaleError = 1e-4;

// `extent` is the box of the kept data in map units (cell edges for rasters), `system` the survey's (wkt empty: none),
// `lowest_m` the lowest kept height in metres. The origin is the south-west corner floored to whole units of the system
// (whole metres of the local frame for a geographic one), the origin height the lowest one floored to whole metres.
// Adds a sentence to `warnings` where lengths in the file's system were not lengths on the ground.
FrameSpec choose_frame(const Box& extent, const SystemInfo& system, double lowest_m, std::vector<std::string>& warnings);

// The frame of a green that is surveyed again. Throws Error where the survey is in another system than the green, or lies
// more than a kilometre from it.
FrameSpec keep_frame(const FrameSpec& green, const Box& extent, const SystemInfo& system);

}  // namespace brae
