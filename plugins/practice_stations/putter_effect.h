// What a putter's loft and lie do to a putt on level ground, and what an adjustment changes. Pure, some milliseconds of work: for
// a thread beside the window.
#pragma once

#include "core/record/lesson_file.h"

#include <optional>

namespace brae::practice_stations {

// The putt that it is told for: level, so long, the usual pace past the hole.
inline constexpr double kPutterPuttM = 3;

// Of one loft, taken as the loft at impact (core/roll/launch.h has mechanics and sources).
struct LoftEffect {
    double launch_angle_deg = 0;                       // against the ground; positive up
    double jump_height_m = 0, skid_length_m = 0, skid_time_s = 0;   // until it rolls
};

// The newest setting before an adjustment and the newest after it, each with what its loft does; empty where not measured.
struct PutterEffect {
    std::optional<StoredPutter> before, after;
    std::optional<LoftEffect> loft_before, loft_after;
    // The lie after less before, at the same hold: how far that turns the face, positive towards the heel side, and where
    // the putt then ends level with the hole.
    std::optional<double> lie_change_deg, face_turn_deg, face_turn_m;
};
// putters: as they stand in the lesson file, oldest first. Throws Error(usage) for a green speed outside 4 to 16 ft.
PutterEffect putter_effect(const std::vector<StoredPutter>& putters, double green_speed_ft);

}  // namespace brae::practice_stations
