// Cholesky factor of a stencil matrix as a band, with its determinant and selected inverse.
#pragma once

#include "core/terrain/stencil_matrix.h"

#include <functional>
#include <vector>

namespace brae {

// Factors a + weight * b (both over the same grid, b may be null). The lines along the shorter side follow one another, so that the
// band is three of them wide. It is taken down from both ends at the same time; the two halves meet in the middle. With
// c the shorter and r the longer side it costs about 9 c^3 r operations and 24 c^2 r bytes. The order of all sums is fixed: the
// same bits for any thread count and any vector target. Throws Error where the sum is not positive definite. `tick` is
// called often, by one thread at a time, and may throw to stop.
class BandCholesky {
public:
    BandCholesky(const StencilMatrix& a, double weight, const StencilMatrix* b, const std::function<void()>& tick);

    // Natural logarithm of the determinant of the factored matrix.
    double log_determinant() const { return log_determinant_; }
    // Solves for one right-hand side, or for many at once, in the grid's row-major order.
    std::vector<double> solve(const std::vector<double>& rhs) const;
    std::vector<std::vector<double>> solve(const std::vector<std::vector<double>>& rhs) const;
    // Product of the factor with vectors; of independent normal numbers it makes draws whose covariance is the factored
    // matrix. The vectors' order is the factor's own, the results' row-major.
    std::vector<std::vector<double>> times_factor(const std::vector<std::vector<double>>& x) const;
    // The entries of the inverse at the places a stencil matrix has (Takahashi, Fagan, Chen 1973, by blocks).
    StencilMatrix selected_inverse(const std::function<void()>& tick) const;

private:
    // Unknowns in the order in which one end takes them down, its last `band_` of the middle. Element (i, j), i >= j, of the factor
    // stands at data[i + j * lead].
    struct Chain {
        int size = 0, lead = 0;
        std::vector<double> data;
        double* at(int i, int j) { return data.data() + i + static_cast<std::ptrdiff_t>(j) * lead; }
        const double* at(int i, int j) const { return data.data() + i + static_cast<std::ptrdiff_t>(j) * lead; }
    };
    struct Window;
    int rows_below(const Chain& chain, int end) const;
    double eliminate(Chain& chain, int from, int to, const std::function<void()>& tick) const;
    void forward(const Chain& chain, int from, int to, int count, std::vector<double>& x) const;
    void backward(const Chain& chain, int from, int to, int count, std::vector<double>& x) const;
    void multiply(const Chain& chain, int from, int to, int count, const std::vector<double>& x, std::vector<double>& y) const;
    void invert(const Chain& chain, bool turned, int from, int to, Window& window, StencilMatrix& out, const std::function<void()>& tick) const;
    std::vector<double> gather(bool turned, const std::vector<std::vector<double>>& x) const;
    void scatter(bool turned, const std::vector<double>& x, std::vector<std::vector<double>>& out) const;

    int columns_ = 0, rows_ = 0;      // of the grid
    bool swapped_ = false;            // lines are the grid's columns
    int line_ = 0, band_ = 0;         // length of a line; unknowns that one meets behind it
    int block_ = 0;                   // unknowns taken down at a time
    int unknowns_ = 0, head_ = 0, tail_ = 0;  // taken down from the front before the middle, and from the back
    Chain front_, back_;              // the front's ends with the whole middle, the back's with what it takes off the middle
    double log_determinant_ = 0;
    // Row-major place of an unknown.
    std::size_t node(int g) const {
        return swapped_ ? static_cast<std::size_t>(g % line_) * columns_ + g / line_ : static_cast<std::size_t>(g);
    }
};

}  // namespace brae
