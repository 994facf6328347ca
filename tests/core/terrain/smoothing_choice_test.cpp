#include "core/terrain/smoothing_choice.h"

#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

#include <Eigen/Dense>

using namespace brae;
using namespace brae::test;

namespace {

std::vector<FitPoint> strewn(const Surface& f, int n, double noise, std::uint64_t seed) {
    Random random(seed);
    std::vector<FitPoint> out;
    for (int k = 0; k < n; ++k) {
        const double x = random.uniform(0, 12), y = random.uniform(0, 9);
        out.push_back({x, y, f(x, y).h + noise * random.normal(), 1});
    }
    return out;
}

}  // namespace

TEST_CASE("the criterion is the restricted likelihood of the data's own covariance matrix") {
    // Oracle: with the covariance V = s^2 I + (s^2 / lambda) A P^+ A' of the heights and quadratics X unknown, minus
    // twice the restricted log likelihood is log|V| + log|X'V^-1 X| + r'V^-1 r, r the generalised residual (Wood 2011).
    const std::vector<FitPoint> points = strewn(rolling_green, 60, 0.01, 4);
    const SplineGrid layout = knot_layout({0, 0, 12, 9}, 3, {0, 0});
    const NormalEquations eq = normal_equations(layout, points, [] {});
    const StencilMatrix penalty = third_derivative_penalty(layout);
    const int nx = layout.columns, n = nx * layout.rows, m = static_cast<int>(points.size());

    Eigen::MatrixXd p = Eigen::MatrixXd::Zero(n, n), a = Eigen::MatrixXd::Zero(m, n), x(m, 6);
    for (int j = 0; j < layout.rows; ++j)
        for (int i = 0; i < nx; ++i)
            for (int dj = -3; dj <= 3; ++dj)
                for (int di = -3; di <= 3; ++di)
                    if (i + di >= 0 && i + di < nx && j + dj >= 0 && j + dj < layout.rows)
                        p(j * nx + i, (j + dj) * nx + i + di) = penalty.entry(i, j, di, dj);
    Eigen::VectorXd z(m);
    for (int k = 0; k < m; ++k) {
        for (int c = 0; c < n; ++c) {
            SplineGrid one = layout;
            one.coefficients[static_cast<std::size_t>(c)] = 1;
            a(k, c) = SplineSurface(one).height(points[k].x, points[k].y);
        }
        const double u = points[k].x / 10, v = points[k].y / 10;
        x.row(k) << 1, u, v, u * u, u * v, v * v;
        z[k] = points[k].z;
    }
    // The six smallest eigenvalues are the quadratics'.
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(p);
    Eigen::VectorXd inverse = eigen.eigenvalues().cwiseInverse();
    inverse.head(kPenaltyNullity).setZero();
    const Eigen::MatrixXd pseudo = eigen.eigenvectors() * inverse.asDiagonal() * eigen.eigenvectors().transpose();
    const auto oracle = [&](double lambda, double s) {
        const Eigen::MatrixXd v = s * s * (Eigen::MatrixXd::Identity(m, m) + a * pseudo * a.transpose() / lambda);
        const Eigen::LDLT<Eigen::MatrixXd> ldlt(v);
        const Eigen::MatrixXd vx = ldlt.solve(x), c = x.transpose() * vx;
        const Eigen::VectorXd r = z - x * c.ldlt().solve(vx.transpose() * z);
        return ldlt.vectorD().array().log().sum() + std::log(c.determinant()) + r.dot(ldlt.solve(r));
    };
    // Both agree up to one constant.
    NoiseKnowledge noise;
    noise.fixed_m = 0.01;
    const double constant = at_smoothing(eq, penalty, 1.0, noise, [] {}).criterion - oracle(1.0, 0.01);
    for (const double lambda : {1e-3, 0.1, 30.0, 1e4})
        CHECK(at_smoothing(eq, penalty, lambda, noise, [] {}).criterion - oracle(lambda, 0.01) == doctest::Approx(constant).epsilon(1e-6));
    // And in the noise, where it is profiled out: its value is the best of the oracle.
    const SmoothingChoice free = at_smoothing(eq, penalty, 0.1, {}, [] {});
    CHECK(oracle(0.1, free.noise_m) < oracle(0.1, 1.05 * free.noise_m));
    CHECK(oracle(0.1, free.noise_m) < oracle(0.1, 0.95 * free.noise_m));
}

TEST_CASE("the noise of a cloud is found within 5 %, the smoothing is a minimum") {
    const SplineGrid layout = knot_layout({0, 0, 12, 9}, 0.5, {0, 0});
    const StencilMatrix penalty = third_derivative_penalty(layout);
    for (const double sigma : {0.003, 0.02}) {
        const NormalEquations eq = normal_equations(layout, strewn(rolling_green, 4000, sigma, 6), [] {});
        const SmoothingChoice c = choose_smoothing(eq, penalty, {}, [] {});
        CHECK(c.noise_m == doctest::Approx(sigma).epsilon(0.05));
        CHECK(at_smoothing(eq, penalty, 3 * c.lambda, {}, [] {}).criterion > c.criterion);
        CHECK(at_smoothing(eq, penalty, c.lambda / 3, {}, [] {}).criterion > c.criterion);
        // From too much smoothing, the cheaper search ends near the same place.
        const SmoothingChoice d = less_smoothing(eq, penalty, 1e3 * c.lambda, {}, [] {});
        CHECK(d.criterion < c.criterion + 1);
    }
}

TEST_CASE("a prior of the noise decides where there are few points and yields where there are many") {
    const SplineGrid layout = knot_layout({0, 0, 12, 9}, 1, {0, 0});
    const StencilMatrix penalty = third_derivative_penalty(layout);
    NoiseKnowledge wrong;
    wrong.prior_m = 0.003;
    const auto noise_of = [&](int n) {
        return choose_smoothing(normal_equations(layout, strewn(rolling_green, n, 0.02, 6), [] {}), penalty, wrong, [] {}).noise_m;
    };
    CHECK(noise_of(4000) == doctest::Approx(0.02).epsilon(0.05));
    CHECK(noise_of(14) < 0.015);
}
