// Cholesky factor of a stencil matrix as a band of dense blocks, with its determinant and selected inverse.
#pragma once

#include "core/terrain/stencil_matrix.h"

#include <functional>
#include <vector>

namespace brae {

// Factors a + weight * b (both over the same grid, b may be null). Grid lines along the shorter side become blocks;
// a block meets the three that follow it, so the factor fills a band of four blocks. With c the shorter and r the
// longer side it costs about 15 c^3 r operations and 32 c^2 r bytes. The order of all sums is fixed.
// Throws Error where the sum is not positive definite. `tick` is called often and may throw to stop.
class BandCholesky {
public:
    BandCholesky(const StencilMatrix& a, double weight, const StencilMatrix* b, const std::function<void()>& tick);

    // Natural logarithm of the determinant of the factored matrix.
    double log_determinant() const { return log_determinant_; }
    // Solves for one right-hand side, in the grid's row-major order.
    std::vector<double> solve(const std::vector<double>& rhs) const;
    // Product of the triangular factor with a vector; of independent normal numbers it makes a draw whose covariance is
    // the factored matrix. The vector's order is the factor's own, the result's row-major.
    std::vector<double> times_factor(const std::vector<double>& x) const;
    // The entries of the inverse at the places a stencil matrix has (Takahashi, Fagan, Chen 1973, by blocks).
    StencilMatrix selected_inverse(const std::function<void()>& tick) const;

private:
    int columns_ = 0, rows_ = 0;      // of the grid
    bool swapped_ = false;            // grid columns are the block rows
    int block_ = 0, blocks_ = 0;      // size and number of blocks
    std::vector<std::vector<double>> panels_;  // block column k: blocks k..k+3, column-major
    double log_determinant_ = 0;
    std::size_t node(int along, int line) const {
        return swapped_ ? static_cast<std::size_t>(along) * columns_ + line
                        : static_cast<std::size_t>(line) * columns_ + along;
    }
};

}  // namespace brae
