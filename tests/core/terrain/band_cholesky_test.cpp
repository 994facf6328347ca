#include "core/terrain/band_cholesky.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "core/terrain/spline_fit.h"
#include "tests/support/support.h"

#include <Eigen/Dense>

using namespace brae;

namespace {

struct Problem {
    SplineGrid layout;
    NormalEquations eq;
    StencilMatrix penalty;
    Eigen::MatrixXd dense;  // eq.matrix + 0.7 * penalty
};

Problem problem(double width, double height) {
    Problem out;
    out.layout = knot_layout({0, 0, width, height}, 0.5, {0, 0});
    Random random(7);
    std::vector<FitPoint> points;
    for (int k = 0; k < 300; ++k)
        points.push_back({random.uniform(0, width), random.uniform(0, height), random.normal(), 1 + random.uniform()});
    out.eq = normal_equations(out.layout, points, [] {});
    out.penalty = third_derivative_penalty(out.layout);
    const int nx = out.layout.columns, ny = out.layout.rows;
    out.dense = Eigen::MatrixXd::Zero(nx * ny, nx * ny);
    for (int j = 0; j < ny; ++j)
        for (int i = 0; i < nx; ++i)
            for (int dj = -3; dj <= 3; ++dj)
                for (int di = -3; di <= 3; ++di)
                    if (i + di >= 0 && i + di < nx && j + dj >= 0 && j + dj < ny)
                        out.dense(j * nx + i, (j + dj) * nx + i + di) =
                            out.eq.matrix.entry(i, j, di, dj) + 0.7 * out.penalty.entry(i, j, di, dj);
    return out;
}

}  // namespace

TEST_CASE("the band factor solves, and has the determinant and the inverse of the dense matrix") {
    for (const auto& [w, h] : {std::pair{3.0, 5.0}, std::pair{5.0, 2.0}, std::pair{0.5, 0.5}, std::pair{1.0, 4.0}, std::pair{1.0, 12.0}, std::pair{16.0, 2.0}}) {
        CAPTURE(w);
        const Problem p = problem(w, h);
        const BandCholesky factor(p.eq.matrix, 0.7, &p.penalty, [] {});
        const int nx = p.layout.columns, ny = p.layout.rows;

        const Eigen::LLT<Eigen::MatrixXd> llt(p.dense);
        double log_det = 0;
        for (int k = 0; k < nx * ny; ++k) log_det += 2 * std::log(llt.matrixLLT()(k, k));
        CHECK(factor.log_determinant() == doctest::Approx(log_det).epsilon(1e-10));

        const std::vector<double> x = factor.solve(p.eq.rhs);
        const Eigen::VectorXd want = llt.solve(Eigen::Map<const Eigen::VectorXd>(p.eq.rhs.data(), nx * ny));
        double worst = 0;
        for (int k = 0; k < nx * ny; ++k) worst = std::max(worst, std::abs(x[k] - want[k]));
        CHECK(worst < 1e-9);

        // The factor times its transpose is the matrix: columns of the factor one by one.
        Eigen::MatrixXd columns(nx * ny, nx * ny);
        std::vector<std::vector<double>> units(static_cast<std::size_t>(nx * ny), std::vector<double>(static_cast<std::size_t>(nx * ny), 0.0));
        for (std::size_t k = 0; k < units.size(); ++k) units[k][k] = 1;
        const auto made = factor.times_factor(units);
        for (int k = 0; k < nx * ny; ++k) columns.col(k) = Eigen::Map<const Eigen::VectorXd>(made[static_cast<std::size_t>(k)].data(), nx * ny);
        CHECK((columns * columns.transpose() - p.dense).cwiseAbs().maxCoeff() < 1e-9 * p.dense.cwiseAbs().maxCoeff());

        // Every place of the stencil that lies on the grid.
        const Eigen::MatrixXd inverse = p.dense.inverse();
        const StencilMatrix selected = factor.selected_inverse([] {});
        double off = 0;
        for (int j = 0; j < ny; ++j)
            for (int i = 0; i < nx; ++i)
                for (int dj = -3; dj <= 3; ++dj)
                    for (int di = -3; di <= 3; ++di)
                        if (i + di >= 0 && i + di < nx && j + dj >= 0 && j + dj < ny)
                            off = std::max(off, std::abs(selected.entry(i, j, di, dj) -
                                                         inverse(j * nx + i, (j + dj) * nx + i + di)));
        CHECK(off < 1e-8 * inverse.cwiseAbs().maxCoeff());
    }
}

TEST_CASE("a matrix that is not positive definite is refused with a sentence") {
    const Problem p = problem(3, 3);
    CHECK_THROWS_AS(BandCholesky(p.eq.matrix, -1e6, &p.penalty, [] {}), Error);
}

TEST_CASE("a factorisation stops when its tick throws") {
    const Problem p = problem(3, 3);
    int calls = 0;
    const auto stop = [&] { if (++calls == 3) throw Error("cancelled", ErrorKind::cancelled); };
    CHECK_THROWS_AS(BandCholesky(p.eq.matrix, 0.7, &p.penalty, stop), Error);
    CHECK(calls == 3);
}
