// A draw of the error of a survey: a Gaussian process with covariance s^2 exp(-d^2 / 2L^2).
#pragma once

#include "core/base/random.h"
#include "core/terrain/spline_surface.h"

#include <cmath>
#include <vector>

namespace brae::test {

// By random Fourier features (Rahimi and Recht 2007).
class DrawnField {
public:
    DrawnField(Random& random, double s, double length, int terms = 48) {
        for (int i = 0; i < terms; ++i) {
            const double kx = random.normal() / length, ky = random.normal() / length, f = s / std::sqrt(double(terms));
            const double a = random.normal(), b = random.normal();
            terms_.push_back({kx, ky, f * a, f * b});
        }
    }
    void add(double x, double y, SurfaceJet& j) const {
        for (const Term& t : terms_) {
            const double u = t.kx * x + t.ky * y, c = std::cos(u), s = std::sin(u);
            const double value = t.a * c + t.b * s, slope = t.b * c - t.a * s;
            j.h += value;
            j.hx += t.kx * slope;
            j.hy += t.ky * slope;
            j.hxx -= t.kx * t.kx * value;
            j.hxy -= t.kx * t.ky * value;
            j.hyy -= t.ky * t.ky * value;
        }
    }

private:
    struct Term { double kx, ky, a, b; };
    std::vector<Term> terms_;
};

}  // namespace brae::test
