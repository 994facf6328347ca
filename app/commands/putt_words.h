// One read with what was asked beside it, and how it is said: in JSON and to people.
#pragma once

#include "core/solve/best_pace.h"
#include "core/solve/hole_chance.h"
#include "core/solve/player_spread.h"
#include "core/solve/putt.h"

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>

namespace brae::app {

// A player's chance with one read.
struct PlayerWords {
    double start_line_sigma_rad = 0, launch_sigma_rel = 0, read_sigma_rad = 0;
    std::string criterion;            // of holing, with which the sigmas hold
    HoleChance chance;
    ExpectedStrokes strokes;
};

// What a putter with loft does to one read. Degrees and metres; the turn is positive towards the heel side.
struct PutterWords {
    double loft_deg = 0, launch_angle_deg = 0, spin_ratio = 0;
    double skid_length_m = 0, skid_time_s = 0, jump_height_m = 0;
    double ball_speed_mps = 0, slow_ball_mps = 0, fast_ball_mps = 0;
    std::optional<double> lie_error_deg, face_turn_deg, face_turn_m;
};

// Holing window by side of the putt; none where it is straight.
struct WindowSides { std::optional<double> low_deg, high_deg; };
WindowSides sides_of(const PuttRead& read);

struct ReadWords {
    PuttRead read;
    double slow_ball_mps = 0, fast_ball_mps = 0;   // of the window, off the face
    std::optional<PlayerWords> player;
    std::optional<PutterWords> putter;
};

nlohmann::ordered_json json_of_read(const ReadWords& words);
nlohmann::ordered_json json_of_best_pace(const BestPace& best);
void print_read(const ReadWords& words, CaptureModel capture, double pace_error_m);
void print_best_pace(const BestPace& best);

}  // namespace brae::app
