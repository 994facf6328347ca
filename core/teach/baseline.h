// A player's baseline: putts hit indoors with the result hidden, measured off the putter; by hand or from a CSV with
// columns chosen by the user.
#pragma once

#include "core/teach/player_prior.h"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// One measured putt. Angles in degrees, positive to the player's right; what was not measured is empty.
struct BaselinePutt {
    std::optional<double> aim_deg;         // face at address against the target line
    std::optional<double> face_deg;        // face at impact, likewise
    std::optional<double> path_deg;        // path of the head at impact
    std::optional<double> start_deg;       // start line of the ball
    std::optional<double> strike_mm;       // from the centre of the face, positive towards the toe
    std::optional<double> ball_speed_mps;  // off the face
    std::optional<double> distance_m;      // that was meant
};

struct BaselineColumns {
    // Field ("aim", "face", "path", "start", "strike", "speed", "distance") to the header's name or the column's number
    // from 1. Empty: the header's own names are tried.
    std::map<std::string, std::string> column;
    // Units where the header does not say them in brackets or behind the name: "deg" or "rad" for angles; "mm", "cm", "m"
    // or "in" for strike; "mps", "mph", "kmh" or "fps" for speed; "m" or "ft" for distance.
    std::map<std::string, std::string> unit;
    bool left_is_positive = false;         // the file counts angles to the player's left
};

// Commas, semicolons (then decimal commas are read) or tabs; lines that begin with # are left out; empty fields are not
// measured. Throws Error, naming file, line, what was found and what is wanted: a column that is not there, a field that is
// no number, a unit that is not known, angles over 45 degrees, speeds outside 0.05 to 20 m/s; no rows; more than 10,000.
std::vector<BaselinePutt> read_baseline(const std::filesystem::path& file, const BaselineColumns& columns);

// Mean, spread and number of one measure.
struct BaselineMean { int n = 0; double mean = 0, sd = 0; };
struct BaselineSummary { BaselineMean aim, face, path, start, aim_to_start, strike, ball_speed; };
BaselineSummary summarise(const std::vector<BaselinePutt>& putts);

// The prior after the baseline: aim, stroke (start line less aim) and their spreads, each by normal updating. What is
// measured indoors carries over to the green within 0.5 degrees of bias and 0.3 of ln spread (1 sigma, own choices).
PlayerPrior prior_with_baseline(const PlayerPrior& prior, const std::vector<BaselinePutt>& putts);

}  // namespace brae
