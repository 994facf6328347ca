#include "core/terrain/smoothing_bias.h"

#include "core/terrain/fit_raster.h"
#include "core/terrain/smoothing_choice.h"
#include "tests/core/terrain/fixtures.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace brae;
using namespace brae::test;

namespace {

const auto no_tick = [] {};

// Means over the green of the shares, and of the posterior variances, for dense points on a ground.
struct Means { double noise_height = 0, noise_slope = 0, bias_height = 0, bias_slope = 0; };
Means means(const Surface& ground, double noise, std::uint64_t seed, std::optional<double> lambda = {}) {
    const Survey survey = cloud(ellipse(9, 9, 8, 8), ground, 40, noise, 0, 1, seed);
    std::vector<FitPoint> points;
    for (const Vec3& p : survey.points) points.push_back({p.x, p.y, p.z - 0.02 * p.x, 1});
    const SplineGrid layout = knot_layout({0, 0, 18, 18}, 0.5, {0, 0});
    const NormalEquations eq = normal_equations(layout, points, no_tick);
    const StencilMatrix penalty = third_derivative_penalty(layout);
    const SmoothingChoice choice = lambda ? at_smoothing(eq, penalty, *lambda, {}, no_tick) : choose_smoothing(eq, penalty, {}, no_tick);
    const BandCholesky factor(eq.matrix, choice.lambda, &penalty, no_tick);
    const StencilMatrix inverse = factor.selected_inverse(no_tick);
    ElevationModel grid;
    const Raster none(32, 32, 1, 1, 0.5);
    grid.height = none;
    grid.mask.assign(none.values.size(), 1);
    FitAtCells fit{none, none, none, none};
    for (int j = 0; j < 32; ++j)
        for (int i = 0; i < 32; ++i) {
            const Vec2 c = none.centre(i, j);
            const FitVariance v = fit_variance(layout, inverse, choice.noise_m, c.x, c.y, 1, 0);
            fit.height.at(i, j) = v.height, fit.slope.at(i, j) = v.slope_mean;
        }
    const ErrorShares s = error_shares(layout, eq, choice.lambda, penalty, choice.noise_m, factor, grid, fit, 2, no_tick);
    Means out;
    for (std::size_t k = 0; k < none.values.size(); ++k) {
        out.noise_height += s.noise_height.values[k] / 1024, out.noise_slope += s.noise_slope.values[k] / 1024;
        out.bias_height += s.bias_height.values[k] / 1024, out.bias_slope += s.bias_slope.values[k] / 1024;
    }
    return out;
}

}  // namespace

TEST_CASE("what two more smoothings show of the bias are the shares that the Beta functions say") {
    // int u s^4 (2 - s)^2 over int u s^2 with the measures u^-2/3 and u^-1/3; int u^(a-1) s^(a+b) = B(a, b).
    const auto share = [](double a, double b) {
        return (4 * std::beta(a, b + 2) - 4 * std::beta(a, b + 3) + std::beta(a, b + 4)) / std::beta(a, b);
    };
    CHECK(kShownOfHeight == doctest::Approx(share(4.0 / 3, 2.0 / 3)).epsilon(1e-3));
    CHECK(kShownOfSlope == doctest::Approx(share(5.0 / 3, 1.0 / 3)).epsilon(1e-3));
}

TEST_CASE("noise makes two thirds of the variance of dense heights and a third of that of slopes, and shows no bias where there is none") {
    // B(1/3, 5/3) / B(1/3, 2/3) = 2/3 and B(2/3, 4/3) / B(2/3, 1/3) = 1/3 on an endless plane.
    Means sum;
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        const Means m = means([](double, double) { return SurfaceJet{}; }, 0.01, seed, 0.4);
        sum.noise_height += m.noise_height / 4, sum.noise_slope += m.noise_slope / 4, sum.bias_height += m.bias_height / 4, sum.bias_slope += m.bias_slope / 4;
    }
    CHECK(sum.noise_height == doctest::Approx(2.0 / 3).epsilon(0.12));
    CHECK(sum.noise_slope == doctest::Approx(1.0 / 3).epsilon(0.25));
    CHECK(sum.bias_height < 0.25);
    CHECK(sum.bias_slope < 0.25);
}

TEST_CASE("ground as rough as expected shows about the bias that is expected, smoother ground less") {
    Means rough, smooth;
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        const Means a = means(PowerLawGround(0.01, seed), 0.01, seed), b = means(rolling_green, 0.01, seed);
        rough.bias_height += a.bias_height / 8, rough.bias_slope += a.bias_slope / 8;
        smooth.bias_height += b.bias_height / 8, smooth.bias_slope += b.bias_slope / 8;
    }
    MESSAGE(rough.bias_height << " " << rough.bias_slope << ", smooth " << smooth.bias_height << " " << smooth.bias_slope);
    CHECK(rough.bias_height > 0.6);
    CHECK(rough.bias_height < 1.6);
    CHECK(rough.bias_slope > 0.6);
    CHECK(rough.bias_slope < 1.6);
    CHECK(smooth.bias_slope < 0.7 * rough.bias_slope);
}

TEST_CASE("between points further apart than the smoothing reaches the expected bias stands, in a cloud it does not") {
    CHECK(unseen_share(0.3, 2.0) > 0.9);
    CHECK(unseen_share(0.5, 0.2) < 1e-4);
    CHECK(unseen_share(1, kPi) == doctest::Approx(0.5));
}

TEST_CASE("a long error passes the smoothing, a short one does not, and what lies between is taken for bias") {
    CHECK(passed_shares(3, 0.01).height == doctest::Approx(1).epsilon(1e-6));
    CHECK(passed_shares(3, 0.01).slope == doctest::Approx(1).epsilon(1e-6));
    CHECK(passed_shares(3, 0.01).slope_shown < 1e-6);
    CHECK(passed_shares(1, 30).height < 0.01);
    const PassedShares some = passed_shares(3, 2);
    CHECK(some.slope < some.height);
    CHECK(some.height < 1);
    CHECK(some.slope_shown > 0.01);
}
