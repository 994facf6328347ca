#include "core/teach/sampler.h"

#include "core/base/error.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace brae;

namespace {

// A normal of two dimensions with known means, sds and correlation.
double normal2(const std::vector<double>& x, std::vector<double>& g) {
    const double m0 = 1, m1 = -2, s0 = 0.5, s1 = 2, r = 0.8, k = 1 / (1 - r * r);
    const double a = (x[0] - m0) / s0, b = (x[1] - m1) / s1;
    g[0] = -k * (a - r * b) / s0;
    g[1] = -k * (b - r * a) / s1;
    return -0.5 * k * (a * a - 2 * r * a * b + b * b);
}

}  // namespace

TEST_CASE("draws from a normal have its means, spreads and correlation") {
    Progress progress;
    const Draws d = sample(normal2, 2, {4, 1500, 120, 5}, progress);
    REQUIRE(d.count == 6000);
    double m[2] = {}, v[2] = {}, c = 0;
    for (std::size_t k = 0; k < d.count; ++k)
        for (std::size_t i = 0; i < 2; ++i) m[i] += d.at(k, i) / 6000;
    for (std::size_t k = 0; k < d.count; ++k) {
        for (std::size_t i = 0; i < 2; ++i) v[i] += std::pow(d.at(k, i) - m[i], 2) / 6000;
        c += (d.at(k, 0) - m[0]) * (d.at(k, 1) - m[1]) / 6000;
    }
    CHECK(m[0] == doctest::Approx(1).epsilon(0.03));
    CHECK(m[1] == doctest::Approx(-2).epsilon(0.06));
    CHECK(std::sqrt(v[0]) == doctest::Approx(0.5).epsilon(0.05));
    CHECK(std::sqrt(v[1]) == doctest::Approx(2).epsilon(0.05));
    CHECK(c / std::sqrt(v[0] * v[1]) == doctest::Approx(0.8).epsilon(0.03));
    CHECK(d.mode[0] == doctest::Approx(1).epsilon(1e-3));
    CHECK(d.worst_r_hat < 1.02);
    CHECK(d.least_effective > 1000);
    CHECK(d.acceptance > 0.6);
}

TEST_CASE("a skewed density keeps its mean: the logarithm of a gamma") {
    // x = ln of a gamma of shape 3: density exp(3 x - e^x), mean psi(3) = 0.92278, variance psi'(3) = 0.39493 (Abramowitz
    // and Stegun 1964, 6.3.2 and 6.4.10).
    Progress progress;
    const Draws d = sample([](const std::vector<double>& x, std::vector<double>& g) {
        g[0] = 3 - std::exp(x[0]);
        return 3 * x[0] - std::exp(x[0]);
    }, 1, {4, 2500, 120, 6}, progress);
    double m = 0, v = 0;
    for (std::size_t k = 0; k < d.count; ++k) m += d.at(k, 0) / static_cast<double>(d.count);
    for (std::size_t k = 0; k < d.count; ++k) v += std::pow(d.at(k, 0) - m, 2) / static_cast<double>(d.count);
    CHECK(m == doctest::Approx(0.92278).epsilon(0.03));
    CHECK(v == doctest::Approx(0.39493).epsilon(0.08));
}

TEST_CASE("the same seed gives the same bits, another seed others, and cancelling ends it") {
    Progress progress;
    const Draws a = sample(normal2, 2, {2, 50, 40, 9}, progress), b = sample(normal2, 2, {2, 50, 40, 9}, progress), c = sample(normal2, 2, {2, 50, 40, 10}, progress);
    CHECK(a.values == b.values);
    CHECK(a.values != c.values);
    progress.cancel();
    CHECK_THROWS_AS(sample(normal2, 2, {2, 50, 40, 9}, progress), Error);
}
