#include "core/terrain/local_roughness.h"

#include "core/terrain/band_cholesky.h"
#include "tests/core/terrain/fixtures.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace brae;
using namespace brae::test;

namespace {

const auto no_tick = [] {};

struct Problem {
    SplineGrid layout;
    NormalEquations eq;
    SmoothingChoice even;
};
Problem problem(const Surface& ground, std::uint64_t seed) {
    const Survey survey = cloud(ellipse(14, 14, 13, 13), ground, 20, 0.01, 0, 1, seed);
    std::vector<FitPoint> points;
    for (const Vec3& p : survey.points) points.push_back({p.x, p.y, p.z, 1});
    const Quadratic trend = fit_quadratic(points);
    for (FitPoint& p : points) p.z -= trend.at(p.x, p.y);
    Problem out;
    out.layout = knot_layout({0, 0, 28, 28}, 1.0, {0, 0});
    out.eq = normal_equations(out.layout, points, no_tick);
    out.even = choose_smoothing(out.eq, third_derivative_penalty(out.layout), {}, no_tick);
    return out;
}

// Minus twice the restricted log likelihood at the given noise, up to a constant that weights do not change: the ridge puts
// the same amount in for the quadratics.
double criterion(const Problem& p, const PenaltyWeight& weight) {
    const StencilMatrix penalty = weighted_penalty(p.layout, weight);
    const BandCholesky q(p.eq.matrix, p.even.lambda, &penalty, no_tick), prior(penalty, 1e-9, &p.eq.matrix, no_tick);
    const std::vector<double> c = q.solve(p.eq.rhs);
    double fitted = 0;
    for (std::size_t k = 0; k < c.size(); ++k) fitted += c[k] * p.eq.rhs[k];
    return (p.eq.squares - fitted) / (p.even.noise_m * p.even.noise_m) + q.log_determinant() - prior.log_determinant();
}

}  // namespace

TEST_CASE("a weight of one everywhere is the plain penalty, and a weight is bilinear between its nodes") {
    const SplineGrid layout = knot_layout({0, 0, 9, 7}, 0.5, {0, 0});
    PenaltyWeight one{2, 2, 0, 0, 10, {1, 1, 1, 1}};
    const StencilMatrix plain = third_derivative_penalty(layout), weighted = weighted_penalty(layout, one), none = weighted_penalty(layout, {});
    for (int j = 0; j + 3 < layout.rows; ++j)
        for (int i = 3; i + 3 < layout.columns; ++i)
            for (int dj = 0; dj <= 3; ++dj)
                for (int di = dj == 0 ? 0 : -3; di <= 3; ++di) {
                    CHECK(weighted.upper(i, j, di, dj) == doctest::Approx(plain.upper(i, j, di, dj)).epsilon(1e-9).scale(plain.trace() / 400));
                    CHECK(none.upper(i, j, di, dj) == plain.upper(i, j, di, dj));
                }
    const PenaltyWeight w{2, 2, 0, 0, 4, {1, 2, 3, 8}};
    CHECK(w.at(0, 0) == 1);
    CHECK(w.at(2, 0) == doctest::Approx(1.5));
    CHECK(w.at(2, 2) == doctest::Approx(3.5));
    CHECK(w.at(-5, 9) == doctest::Approx(3));
    CHECK(PenaltyWeight{}.at(1, 1) == 1);
}

TEST_CASE("the problem on wider knots is the one that the points give there") {
    Random random(3);
    std::vector<FitPoint> points;
    for (int k = 0; k < 400; ++k) points.push_back({random.uniform(0.3, 7.2), random.uniform(0.1, 5.4), random.normal(), 1});
    const Box domain{0.3, 0.1, 7.2, 5.4};
    const SplineGrid narrow = knot_layout(domain, 0.5, {0.2, 0.1}), wide = knot_layout(domain, 1.0, {0.2, 0.1});
    const NormalEquations got = on_wider_knots(normal_equations(narrow, points, no_tick), narrow, wide), want = normal_equations(wide, points, no_tick);
    CHECK(got.count == want.count);
    CHECK(got.squares == doctest::Approx(want.squares));
    double off = 0;
    for (std::size_t k = 0; k < want.rhs.size(); ++k) off = std::max(off, std::abs(got.rhs[k] - want.rhs[k]));
    for (int j = 0; j < wide.rows; ++j)
        for (int i = 0; i < wide.columns; ++i)
            for (int dj = -3; dj <= 3; ++dj)
                for (int di = -3; di <= 3; ++di)
                    if (i + di >= 0 && i + di < wide.columns && j + dj >= 0 && j + dj < wide.rows)
                        off = std::max(off, std::abs(got.matrix.entry(i, j, di, dj) - want.matrix.entry(i, j, di, dj)));
    CHECK(off < 1e-10);
}

TEST_CASE("the weights find a tier, leave ground of one roughness nearly even, and raise the restricted likelihood") {
    const Problem tier = problem(two_tiers, 1);
    const PenaltyWeight w = local_weight(tier.layout, tier.eq, tier.even, {}, 4, no_tick);
    // The middle line passes (14, 14); far from it the ground is a plane.
    CHECK(w.at(14, 14) < w.at(14, 24) / 30);
    CHECK(w.at(14, 14) < w.at(14, 5) / 30);
    PenaltyWeight even = w;
    for (double& node : even.nodes) node = 1;
    CHECK(criterion(tier, w) < criterion(tier, even) - 20);
    // The same bits each time.
    CHECK(local_weight(tier.layout, tier.eq, tier.even, {}, 4, no_tick).nodes == w.nodes);

    const Problem flat = problem(PowerLawGround(0.01, 3), 3);
    const PenaltyWeight f = local_weight(flat.layout, flat.eq, flat.even, {}, 4, no_tick);
    for (double y = 4; y <= 24; y += 4)
        for (double x = 4; x <= 24; x += 4) {
            CHECK(f.at(x, y) > 0.05);   // few degrees of freedom in each window
            CHECK(f.at(x, y) < 5);
        }
}
