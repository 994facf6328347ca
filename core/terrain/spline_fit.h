// Penalised least squares on the uniform bicubic B-spline: layout of the knots, normal equations, penalty.
#pragma once

#include "core/survey/outline.h"
#include "core/terrain/spline_surface.h"
#include "core/terrain/stencil_matrix.h"

#include <array>
#include <functional>
#include <vector>

namespace brae {

// One height to be fitted, with its weight (1: a single observation).
struct FitPoint { double x = 0, y = 0, z = 0, weight = 1; };

// An empty grid of coefficients whose surface covers `domain`; knots at align + integer * cell.
SplineGrid knot_layout(const Box& domain, double cell, Vec2 align);

// Sums of the weighted least-squares problem: matrix A'WA, vector A'Wz, z'Wz, and the number of points.
struct NormalEquations {
    StencilMatrix matrix;
    std::vector<double> rhs;
    double squares = 0;
    std::size_t count = 0;
};
NormalEquations normal_equations(const SplineGrid& layout, const std::vector<FitPoint>& points,
                                 const std::function<void()>& tick);

// Matrix of the integral over the whole layout of f_xxx^2 + 3 f_xxy^2 + 3 f_xyy^2 + f_yyy^2 (Duchon 1977; Wahba 1990,
// ch. 2), exact. It does not change under rotation, and vanishes for quadratics only: six dimensions.
StencilMatrix third_derivative_penalty(const SplineGrid& layout);
inline constexpr int kPenaltyNullity = 6;

// Quadratic a0 + a1 u + a2 v + a3 u^2 + a4 u v + a5 v^2 with u = (x - cx) / scale and likewise v.
struct Quadratic {
    double cx = 0, cy = 0, scale = 1;
    std::array<double, 6> a{};
    double at(double x, double y) const;
};
// Least-squares quadratic; where the points do not settle it, the terms that are open stay zero.
Quadratic fit_quadratic(const std::vector<FitPoint>& points);
// Adds the quadratic to the surface, exactly: its B-spline coefficients by blossoming (Ramshaw 1987).
void add_quadratic(SplineGrid& grid, const Quadratic& q);

}  // namespace brae
