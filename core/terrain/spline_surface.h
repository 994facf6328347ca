// The authoritative surface: a uniform bicubic B-spline, C2, in double.
#pragma once

#include <vector>

namespace brae {

// Height and its derivatives at one point: metres, slope ratio, 1/m.
struct SurfaceJet {
    double h = 0, hx = 0, hy = 0, hxx = 0, hxy = 0, hyy = 0;
};

// Anything with a height: the spline in the program, formulas in the tests. At least C1 with bounded second
// derivatives; the solver's accuracy statements want C2. Must be safe to call from several threads.
class HeightField {
public:
    virtual ~HeightField() = default;
    virtual SurfaceJet jet(double x, double y) const noexcept = 0;
    double height(double x, double y) const noexcept { return jet(x, y).h; }
};

// Uniform grid of B-spline coefficients, row-major, south row first.
// Knot spacing `cell`; coefficient (i, j) belongs to the basis function centred on (x0 + i cell, y0 + j cell), so the
// surface is defined on [x0 + cell, x0 + (columns - 2) cell] and likewise in y. Outside it the nearest polynomial
// patch is continued, which is a value without meaning: callers test the outline first.
struct SplineGrid {
    int columns = 0, rows = 0;
    double x0 = 0, y0 = 0, cell = 0;
    std::vector<double> coefficients;  // columns * rows
    double at(int i, int j) const { return coefficients[static_cast<std::size_t>(j) * columns + i]; }
};

// Reproduces polynomials up to the third degree in each variable to rounding.
class SplineSurface final : public HeightField {
public:
    // Throws Error unless columns and rows are at least 4, cell > 0, and every coefficient is finite.
    explicit SplineSurface(SplineGrid grid);
    SurfaceJet jet(double x, double y) const noexcept override;
    const SplineGrid& grid() const { return grid_; }

private:
    SplineGrid grid_;
};

// Values and first and second derivatives (per cell) of the four uniform cubic B-splines that are not zero at
// fraction t in [0, 1) of a cell.
struct CubicWeights { double w[4], d[4], dd[4]; };
// The pieces: de Boor, A Practical Guide to Splines, 1978.
inline CubicWeights cubic_weights(double t) noexcept {
    const double s = 1 - t, t2 = t * t, t3 = t2 * t;
    return {{s * s * s / 6, (3 * t3 - 6 * t2 + 4) / 6, (-3 * t3 + 3 * t2 + 3 * t + 1) / 6, t3 / 6},
            {-s * s / 2, (3 * t2 - 4 * t) / 2, (-3 * t2 + 2 * t + 1) / 2, t2 / 2},
            {s, 3 * t - 2, 1 - 3 * t, t}};
}

}  // namespace brae
