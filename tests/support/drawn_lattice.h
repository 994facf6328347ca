// Draws of a Gaussian process with covariance s^2 exp(-d^2 / 2L^2), exact at the nodes of a lattice and a cubic spline
// between them: cheap enough for thousands of draws that balls are rolled on.
#pragma once

#include "core/base/random.h"
#include "core/survey/outline.h"
#include "core/terrain/spline_surface.h"

#include <Eigen/Dense>

#include <cmath>

namespace brae::test {

// The covariance is a product of one in x and one in y, so a draw is A Z B^T with A A^T and B B^T the two matrices and Z
// independent normals. Both are nearly singular; what their smallest eigenvalues hold (1e-11 of the variance) is left out.
class LatticeLaw {
public:
    // Valid within the box; nodes L/5 apart, with a margin that keeps the spline's ends away.
    LatticeLaw(const Box& box, double s, double length) : cell_(length / 5), x0_(box.x0 - kMargin * cell_), y0_(box.y0 - kMargin * cell_) {
        along_x_ = s * root(2 * kMargin + static_cast<int>(std::ceil(box.width() / cell_)) + 1);
        along_y_ = root(2 * kMargin + static_cast<int>(std::ceil(box.height() / cell_)) + 1);
    }
    SplineSurface draw(Random& random) const {
        Eigen::MatrixXd z(along_x_.cols(), along_y_.cols());
        for (Eigen::Index j = 0; j < z.cols(); ++j)
            for (Eigen::Index i = 0; i < z.rows(); ++i) z(i, j) = random.normal();
        const Eigen::MatrixXd c = along_x_ * z * along_y_.transpose();   // column-major: x runs fastest, as in a SplineGrid
        SplineGrid grid{static_cast<int>(c.rows()), static_cast<int>(c.cols()), x0_, y0_, cell_, {c.data(), c.data() + c.size()}};
        return SplineSurface(std::move(grid));
    }

private:
    static constexpr int kMargin = 8;

    // Coefficients of the spline that takes the values of a draw at n nodes.
    static Eigen::MatrixXd root(int n) {
        Eigen::MatrixXd covariance(n, n), spline = Eigen::MatrixXd::Zero(n, n);
        for (int i = 0; i < n; ++i)
            for (int k = 0; k < n; ++k) {
                const double d = (i - k) / 5.0;   // in lengths
                covariance(i, k) = std::exp(-0.5 * d * d);
                if (std::abs(i - k) <= 1) spline(i, k) = i == k ? 4.0 / 6 : 1.0 / 6;
            }
        const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> parts(covariance);
        int first = 0;
        while (parts.eigenvalues()[first] < 1e-11) ++first;
        const Eigen::MatrixXd values = parts.eigenvectors().rightCols(n - first) *
                                       parts.eigenvalues().tail(n - first).cwiseSqrt().asDiagonal();
        return spline.partialPivLu().solve(values);
    }

    double cell_, x0_, y0_;
    Eigen::MatrixXd along_x_, along_y_;
};

inline void add(SurfaceJet& j, const SurfaceJet& other) {
    j.h += other.h;
    j.hx += other.hx;
    j.hy += other.hy;
    j.hxx += other.hxx;
    j.hxy += other.hxy;
    j.hyy += other.hyy;
}

}  // namespace brae::test
