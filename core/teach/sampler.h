// Draws from a smooth density in some tens of dimensions: Laplace's approximation for the shape, Hamiltonian Monte Carlo
// for the rest (Duane et al. 1987; Neal 2011; step size by dual averaging, Hoffman and Gelman 2014). Deterministic.
#pragma once

#include "core/base/progress.h"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

namespace brae {

// ln of the density, up to a constant, and its gradient. Must be finite where the sampler starts (0).
using LogDensity = std::function<double(const std::vector<double>& at, std::vector<double>& gradient)>;

struct SamplerOptions {
    int chains = 4, draws = 300, warm_up = 120;   // draws and warm-up of each chain
    std::uint64_t seed = 20260502;
    // Chains that have not come together are run on by as many draws again, so often at most.
    int extensions = 3;
};
// What counts as come together: split R-hat under the one, every dimension worth as many draws as the other.
inline constexpr double kSettledRHat = 1.05, kSettledDraws = 100;

struct Draws {
    std::size_t dimensions = 0, count = 0;
    std::vector<double> values;            // draw by draw
    double acceptance = 0;                 // mean, after the warm-up
    double worst_r_hat = 1;                // of all dimensions, chains halved (Gelman et al. 2013, 11.4)
    double least_effective = 0;            // draws that the slowest dimension is worth
    int gradients = 0;
    std::vector<double> mode;
    double at(std::size_t draw, std::size_t dimension) const { return values[draw * dimensions + dimension]; }
};

// Same density, same seed, same bits. Cancelled through progress within a few draws.
Draws sample(const LogDensity& density, std::size_t dimensions, const SamplerOptions& options, Progress& progress);

}  // namespace brae
