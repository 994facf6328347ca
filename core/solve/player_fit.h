// A player's spread from made and missed putts, by maximum likelihood. Each criterion of holing has its own fit.
#pragma once

#include "core/solve/player_spread.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// Putts of one length on ground taken as level.
struct MakeRow { double distance_m = 0; int tries = 0, made = 0; };

// How well a fit tells the rows.
struct FitMisfit {
    std::vector<double> predicted;        // chance, row by row
    double largest_residual = 0;          // made share less predicted, the largest by size, with its sign
    double largest_at_m = 0;
    double chi_square = 0;                // Pearson, rows.size() - parameters degrees of freedom
    double log_likelihood = 0;            // binomial, without the constant
    std::string criterion;
};

struct HalfWidthFit {
    HalfWidthSpread spread;
    double start_line_se_rad = 0;
    FitMisfit misfit;
};
// Golden section on the logarithm of sigma, to 1e-9. Throws Error(usage) for no rows, for a row whose numbers make no
// sense, and where all or none were made (no sigma is likelier than every other).
HalfWidthFit fit_half_width(const std::vector<MakeRow>& rows);

// What the rows do not say and the fit must assume; its sigmas hold with these only.
struct LevelAssumptions { double green_speed_ft = 10, past_m = 0.30; };

template <CaptureModel Model>
struct MechanicsFit {
    MechanicsSpread<Model> spread;                  // start line (with the read in it) and launch; no bias
    double start_line_se_rad = 0, launch_se_rel = 0, correlation = 0;   // 0 where the data do not bound them
    // Another pair of sigmas that is likelier than its neighbours, if one was found: rows can be ambiguous.
    std::optional<MechanicsSpread<Model>> other;
    double other_log_likelihood = 0;
    LevelAssumptions assumed;
    FitMisfit misfit;
    int evaluations = 0;
};
// Nelder and Mead's simplex on the logarithms from nine starts, to 1e-7; the launch's sigma is held in 1e-4..0.25.
// By the capture model that is named; its sigmas cannot be used with the other.
template <CaptureModel Model = kDefaultCapture>
MechanicsFit<Model> fit_mechanics(const std::vector<MakeRow>& rows, const LevelAssumptions& assumed = {});

}  // namespace brae
