// A symmetric matrix over a grid of B-spline coefficients in which only near neighbours meet.
#pragma once

#include <cstddef>
#include <utility>
#include <vector>

namespace brae {

// Entries between coefficients at most three apart in each direction, which is all that bicubic B-splines couple.
// Each pair is stored once: the partner lies dj in 0..3 rows north and di in -3..3 columns east (28 places a node;
// for dj = 0 only di >= 0 is used).
class StencilMatrix {
public:
    StencilMatrix() = default;
    StencilMatrix(int columns, int rows)
        : columns_(columns), rows_(rows), values_(static_cast<std::size_t>(columns) * rows * 28, 0.0) {}
    int columns() const { return columns_; }
    int rows() const { return rows_; }

    // Entry of (i, j) with (i + di, j + dj); dj > 0, or dj == 0 and di >= 0.
    double& upper(int i, int j, int di, int dj) { return values_[place(i, j, di, dj)]; }
    double upper(int i, int j, int di, int dj) const { return values_[place(i, j, di, dj)]; }

    // Entry of (i, j) with (i + di, j + dj) for any |di|, |dj| <= 3; by symmetry where it is stored at the partner.
    double entry(int i, int j, int di, int dj) const {
        if (dj > 0 || (dj == 0 && di >= 0)) return upper(i, j, di, dj);
        return upper(i + di, j + dj, -di, -dj);
    }

    // Sum of the diagonal.
    double trace() const {
        double sum = 0;
        for (std::size_t k = 3; k < values_.size(); k += 28) sum += values_[k];
        return sum;
    }

    // Product with a vector in row-major order.
    std::vector<double> times(const std::vector<double>& x) const {
        std::vector<double> y(x.size(), 0.0);
        for (int j = 0; j < rows_; ++j)
            for (int i = 0; i < columns_; ++i)
                for (int dj = 0; dj <= 3 && j + dj < rows_; ++dj)
                    for (int di = dj == 0 ? 0 : -3; di <= 3; ++di) {
                        if (i + di < 0 || i + di >= columns_) continue;
                        const std::size_t a = static_cast<std::size_t>(j) * columns_ + i;
                        const std::size_t b = static_cast<std::size_t>(j + dj) * columns_ + (i + di);
                        const double v = upper(i, j, di, dj);
                        y[a] += v * x[b];
                        if (a != b) y[b] += v * x[a];
                    }
        return y;
    }

private:
    std::size_t place(int i, int j, int di, int dj) const {
        return (static_cast<std::size_t>(j) * columns_ + i) * 28 + dj * 7 + di + 3;
    }
    int columns_ = 0, rows_ = 0;
    std::vector<double> values_;
};

}  // namespace brae
