// What a lesson tells of the player: figures with intervals, the errors of each putt, sides, chances.
#pragma once

#include "core/teach/player_model.h"
#include "core/teach/sampler.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// Of a posterior: mean, standard deviation, and the 5 % and 95 % points.
struct Told90 { double mean = 0, sd = 0, low = 0, high = 0; };

// One putt. Angles rad, positive to the player's right; pace in ln of the launch speed, positive too hard.
struct PuttErrors {
    bool told = false;                       // false: no launch fits what was seen, see why
    std::string why;                         // one sentence on what is not told, else empty
    std::optional<Told90> direction;         // start against the true aim: read and start line together
    std::optional<Told90> read;              // chosen line against the true aim; the player's own line only
    std::optional<Told90> start_line;        // start against the chosen line; where the line is known
    std::optional<Told90> aim, stroke;       // its two parts, where the aim was seen
    std::optional<Told90> pace;
    bool pace_counted = true;                // false for a mis-strike
    double chance = 0;                       // to hole out along the line that was chosen, by this player
};

struct StationTold {
    int putts = 0, holed = 0;
    double expected = 0;                     // putts holed by a player of these figures
    std::optional<Told90> read;              // error of the player's own read here, with what is peculiar to it
};

// Shares of the putts that passed on a side of a putt that breaks; 90 % by Jeffreys' interval.
struct SideShares { int high = 0, low = 0, short_of = 0, holed = 0, others = 0; double low_share = 0, low_from = 0, low_to = 1; };

struct LessonEstimate {
    Told90 figure[kPlayerFigures];           // spreads as spreads
    Told90 start_line;                       // aim at address and stroke together: the start-line bias
    Told90 read_low;                         // read bias towards the low side, mean of the stations that break; rad
    Told90 read_low_m;                       // the same at the hole, m
    int own_reads = 0, own_reads_told = 0, aims_seen = 0, putts = 0, mis_strikes = 0;
    // Read and start line apart: some own reads were told. Else only their sum is.
    bool read_apart = false;
    std::vector<PuttErrors> putt;
    std::vector<StationTold> station;
    SideShares sides;
    std::vector<std::string> notes;          // what cannot be told, one sentence each
    std::vector<std::string> doubts;         // putts whose side and place do not fit together, one sentence each
    Draws draws;
    bool settled = false;                    // the draws have converged: split R-hat under 1.05, 100 effective draws
};

struct EstimateOptions {
    SamplerOptions sampler{};
    int thinned = 160;                       // draws that single putts are worked out with
};

// Deterministic. A lesson without putts gives the prior.
LessonEstimate estimate_lesson(const PlayerModel& model, const EstimateOptions& options, Progress& progress);

// 5 % and 95 % points, mean and spread of numbers.
Told90 told_by(std::vector<double> values);
// Jeffreys' 90 % interval of a share: `hits` of `hits + others` (Brown, Cai and DasGupta 2001).
void jeffreys(int hits, int others, double& from, double& to);

}  // namespace brae
