// Seeded noise: a smooth random height field with a Gaussian covariance, as a sum of cosines.
#pragma once

#include "core/base/random.h"

#include <vector>

namespace brae::samples {

// Covariance s^2 exp(-d^2 / (2 L^2)) through random Fourier features (Rahimi and Recht 2007) with 256 cosines.
class NoiseField {
public:
    NoiseField(double sigma, double length, std::uint64_t seed) {
        Random random(seed);
        constexpr int n = 256;
        for (int k = 0; k < n; ++k)
            waves_.push_back({random.normal() / length, random.normal() / length, random.uniform(0, 2 * kPi)});
        amplitude_ = sigma * std::sqrt(2.0 / n);
    }
    double at(double x, double y) const {
        double sum = 0;
        for (const auto& w : waves_) sum += std::cos(w.kx * x + w.ky * y + w.phase);
        return amplitude_ * sum;
    }

private:
    struct Wave { double kx, ky, phase; };
    std::vector<Wave> waves_;
    double amplitude_ = 0;
};

}  // namespace brae::samples
