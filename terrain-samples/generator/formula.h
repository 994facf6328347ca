// Numbers that carry their first and second derivatives in x and y, so that a height formula is written once and its
// slope and curvature follow exactly (forward automatic differentiation).
#pragma once

#include "core/terrain/spline_surface.h"

#include <cmath>

namespace brae::samples {

struct Jet {
    double f = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
    Jet(double value = 0) : f(value) {}  // a constant; implicit so that formulas read as formulas
    Jet(double f_, double x_, double y_, double xx_, double xy_, double yy_)
        : f(f_), x(x_), y(y_), xx(xx_), xy(xy_), yy(yy_) {}
    SurfaceJet surface() const { return {f, x, y, xx, xy, yy}; }
};

inline Jet operator+(const Jet& a, const Jet& b) {
    return {a.f + b.f, a.x + b.x, a.y + b.y, a.xx + b.xx, a.xy + b.xy, a.yy + b.yy};
}
inline Jet operator-(const Jet& a) { return {-a.f, -a.x, -a.y, -a.xx, -a.xy, -a.yy}; }
inline Jet operator-(const Jet& a, const Jet& b) { return a + -b; }
inline Jet operator*(const Jet& a, const Jet& b) {
    return {a.f * b.f,
            a.x * b.f + a.f * b.x,
            a.y * b.f + a.f * b.y,
            a.xx * b.f + 2 * a.x * b.x + a.f * b.xx,
            a.xy * b.f + a.x * b.y + a.y * b.x + a.f * b.xy,
            a.yy * b.f + 2 * a.y * b.y + a.f * b.yy};
}
// g(a) from the value and the first two derivatives of g at a.f.
inline Jet chain(const Jet& a, double g, double g1, double g2) {
    return {g,
            g1 * a.x,
            g1 * a.y,
            g2 * a.x * a.x + g1 * a.xx,
            g2 * a.x * a.y + g1 * a.xy,
            g2 * a.y * a.y + g1 * a.yy};
}
inline Jet exp(const Jet& a) {
    const double e = std::exp(a.f);
    return chain(a, e, e, e);
}
inline Jet sin(const Jet& a) { return chain(a, std::sin(a.f), std::cos(a.f), -std::sin(a.f)); }
inline Jet tanh(const Jet& a) {
    const double t = std::tanh(a.f), d = 1 - t * t;
    return chain(a, t, d, -2 * t * d);
}
inline Jet square(const Jet& a) { return a * a; }

}  // namespace brae::samples
