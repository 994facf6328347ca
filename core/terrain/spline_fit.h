// Penalised least squares on the uniform bicubic B-spline: layout of the knots, normal equations, penalty.
#pragma once

#include "core/base/progress.h"
#include "core/survey/outline.h"
#include "core/terrain/spline_surface.h"
#include "core/terrain/stencil_matrix.h"

#include <array>
#include <cstdint>
#include <functional>
#include <vector>

namespace brae {

// One height to be fitted, with its weight (1: a single observation).
struct FitPoint { double x = 0, y = 0, z = 0, weight = 1; };

// Quadratic a0 + a1 u + a2 v + a3 u^2 + a4 u v + a5 v^2 with u = (x - cx) / scale and likewise v.
struct Quadratic {
    double cx = 0, cy = 0, scale = 1;
    std::array<double, 6> a{};
    double at(double x, double y) const {
        const double u = (x - cx) / scale, v = (y - cy) / scale;
        return a[0] + u * (a[1] + a[3] * u + a[4] * v) + v * (a[2] + a[5] * v);
    }
};

// The points of a fit: a list, or those of a large cloud that were chosen, left where they lie, less a quadratic. What they are
// made from outlives them.
class FitPoints {
public:
    FitPoints(const std::vector<FitPoint>& list) : list_(list.data()), size_(list.size()) {}
    FitPoints(const std::vector<Vec3>& cloud, const std::vector<std::uint32_t>& chosen, const Quadratic& less)
        : cloud_(cloud.data()), chosen_(chosen.data()), size_(chosen.size()), less_(less) {}
    std::size_t size() const { return size_; }
    FitPoint operator[](std::size_t k) const {
        if (list_ != nullptr) return list_[k];
        const Vec3& p = cloud_[chosen_[k]];
        return {p.x, p.y, p.z - less_.at(p.x, p.y), 1};
    }

private:
    const FitPoint* list_ = nullptr;
    const Vec3* cloud_ = nullptr;
    const std::uint32_t* chosen_ = nullptr;
    std::size_t size_ = 0;
    Quadratic less_;
};

// An empty grid of coefficients whose surface covers `domain`; knots at align + integer * cell.
SplineGrid knot_layout(const Box& domain, double cell, Vec2 align);

// Sums of the weighted least-squares problem: matrix A'WA, vector A'Wz, z'Wz, and the number of points.
struct NormalEquations {
    StencilMatrix matrix;
    std::vector<double> rhs;
    double squares = 0;
    std::size_t count = 0;
};
// `look` is called from all threads, often, and may throw to stop; `tick` by one, from time to time.
NormalEquations normal_equations(const SplineGrid& layout, const FitPoints& points, const std::function<void()>& tick,
                                 const Progress& look = {});

// Matrix of the integral over the whole layout of f_xxx^2 + 3 f_xxy^2 + 3 f_xyy^2 + f_yyy^2 (Duchon 1977; Wahba 1990,
// ch. 2), exact. It does not change under rotation, and vanishes for quadratics only: six dimensions.
StencilMatrix third_derivative_penalty(const SplineGrid& layout);
inline constexpr int kPenaltyNullity = 6;

// Least-squares quadratic; where the points do not settle it, the terms that are open stay zero.
Quadratic fit_quadratic(const std::vector<FitPoint>& points);
// Adds the quadratic to the surface, exactly: its B-spline coefficients by blossoming (Ramshaw 1987).
void add_quadratic(SplineGrid& grid, const Quadratic& q);

}  // namespace brae
