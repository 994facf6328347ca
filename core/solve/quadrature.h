// Gauss-Legendre rules and the normal distribution, for integrals over errors of a player.
#pragma once

#include "core/base/constants.h"

#include <array>
#include <cmath>
#include <cstddef>

namespace brae {

// Nodes in (-1, 1) and weights of the rule of N points: roots of the Legendre polynomial by Newton's method from
// cos(pi (i + 3/4) / (N + 1/2)) (Abramowitz and Stegun 1964, 25.4.29 and 22.16.6). Exact to degree 2 N - 1.
template <std::size_t N>
struct GaussRule {
    std::array<double, N> x{}, w{};
    GaussRule() {
        for (std::size_t i = 0; i < N; ++i) {
            double z = -std::cos(kPi * (double(i) + 0.75) / (double(N) + 0.5)), slope = 1;
            for (int k = 0; k < 20; ++k) {
                double p = 1, before = 0;
                for (std::size_t n = 1; n <= N; ++n) {
                    const double next = ((2 * double(n) - 1) * z * p - (double(n) - 1) * before) / double(n);
                    before = p;
                    p = next;
                }
                slope = double(N) * (z * p - before) / (z * z - 1);
                z -= p / slope;
            }
            x[i] = z;
            w[i] = 2 / ((1 - z * z) * slope * slope);
        }
    }
};
template <std::size_t N>
const GaussRule<N>& gauss_rule() {
    static const GaussRule<N> rule;
    return rule;
}

// Standard normal density and distribution function.
inline double normal_density(double z) { return std::exp(-0.5 * z * z) / std::sqrt(2 * kPi); }
inline double normal_cdf(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }
// Probability between two values, without loss of figures in either tail.
inline double normal_between(double low, double high) {
    if (!(high > low)) return 0;
    return low > 0 ? normal_cdf(-low) - normal_cdf(-high) : normal_cdf(high) - normal_cdf(low);
}

}  // namespace brae
