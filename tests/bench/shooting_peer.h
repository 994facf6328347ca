// What one would do without this program: Newton shooting from the ball with Boost.Odeint's dopri5 and dense output,
// the Jacobian by the variational equations. Same surface function and same equation of motion, one thread.
#pragma once

#include "core/base/constants.h"
#include "core/base/vec.h"
#include "core/terrain/spline_surface.h"

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wuninitialized"
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#include <boost/numeric/odeint.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace brae::bench {

// The spline with its third derivatives, scalar.
struct Jet3 { double hx, hy, hxx, hxy, hyy, hxxx, hxxy, hxyy, hyyy; };
inline Jet3 jet3(const SplineGrid& g, double x, double y) {
    // A trial step at a loose tolerance may be no number; the shot then fails.
    if (!(std::abs(x) < 1e6 && std::abs(y) < 1e6)) return {};
    const double inv = 1 / g.cell, u = (x - g.x0) * inv, v = (y - g.y0) * inv;
    const int i = static_cast<int>(std::clamp(std::floor(u), 1.0, g.columns - 3.0));
    const int j = static_cast<int>(std::clamp(std::floor(v), 1.0, g.rows - 3.0));
    const CubicWeights a = cubic_weights(u - i), b = cubic_weights(v - j);
    constexpr double third[4] = {-1, 3, -3, 1};
    Jet3 o{};
    const double* c = &g.coefficients[static_cast<std::size_t>(j - 1) * g.columns + (i - 1)];
    for (int k = 0; k < 4; ++k, c += g.columns) {
        double h = 0, hx = 0, hxx = 0, hxxx = 0;
        for (int m = 0; m < 4; ++m) {
            h += a.w[m] * c[m];
            hx += a.d[m] * c[m];
            hxx += a.dd[m] * c[m];
            hxxx += third[m] * c[m];
        }
        o.hx += b.w[k] * hx;
        o.hy += b.d[k] * h;
        o.hxx += b.w[k] * hxx;
        o.hxy += b.d[k] * hx;
        o.hyy += b.dd[k] * h;
        o.hxxx += b.w[k] * hxxx;
        o.hxxy += b.d[k] * hxx;
        o.hxyy += b.dd[k] * hx;
        o.hyyy += third[k] * h;
    }
    const double i2 = inv * inv, i3 = i2 * inv;
    o.hx *= inv; o.hy *= inv;
    o.hxx *= i2; o.hxy *= i2; o.hyy *= i2;
    o.hxxx *= i3; o.hxxy *= i3; o.hxyy *= i3; o.hyyy *= i3;
    return o;
}

struct PeerLaunch { double angle = 0, speed = 0; };   // horizontal speed

class ShootingPeer {
public:
    // x, y, vx, vy and their derivatives by angle and by speed.
    using State = std::array<double, 12>;

    ShootingPeer(const SplineSurface& surface, Vec2 hole, double level_decel, double hole_speed, double tolerance)
        : grid_(surface.grid()), hole_(hole), decel_(level_decel), wanted_(hole_speed), tolerance_(tolerance) {}

    // Newton from `guess`; false where it does not converge.
    bool solve(Vec2 ball, PeerLaunch& guess) const {
        PeerLaunch at = guess;
        const double enough = 0.2 * std::max(tolerance_, 1e-9) + 1e-5;
        for (int n = 0; n < 25; ++n) {
            double miss[2], by[2][2];
            if (!shoot(ball, at, miss, by)) return false;
            const double det = by[0][0] * by[1][1] - by[0][1] * by[1][0];
            if (det == 0) return false;
            double da = -(miss[0] * by[1][1] - by[0][1] * miss[1]) / det, dv = -(by[0][0] * miss[1] - miss[0] * by[1][0]) / det;
            const double reach = std::max(std::abs(da) / 0.1, std::abs(dv) / 0.3);
            if (reach > 1) { da /= reach; dv /= reach; }
            at.angle += da;
            at.speed += dv;
            // The step that follows a small one would be its square.
            if (std::abs(da) < 1e-2 * std::sqrt(enough) && std::abs(dv) < 3e-2 * std::sqrt(enough)) {
                guess = at;
                return true;
            }
        }
        return false;
    }
    double surface_speed(Vec2 ball, PeerLaunch l) const {
        const Jet3 j = jet3(grid_, ball.x, ball.y);
        const double climb = l.speed * (j.hx * std::cos(l.angle) + j.hy * std::sin(l.angle));
        return std::sqrt(l.speed * l.speed + climb * climb);
    }

private:
    void rate(const State& s, State& o) const {
        const Jet3 h = jet3(grid_, s[0], s[1]);
        const double p = s[2], q = s[3];
        const double w2 = 1 + h.hx * h.hx + h.hy * h.hy, iw2 = 1 / w2, iw = std::sqrt(iw2);
        const double bx = h.hxx * p + h.hxy * q, by = h.hxy * p + h.hyy * q, bend = bx * p + by * q;
        const double climb = h.hx * p + h.hy * q, s2 = p * p + q * q + climb * climb, is3 = 1 / std::sqrt(s2);
        const double g = -(kRollFactor * kGravity + bend) * iw2, grip = decel_ / kGravity * iw * is3, r = grip * (kGravity + bend);
        o[0] = p; o[1] = q;
        o[2] = g * h.hx - r * p;
        o[3] = g * h.hy - r * q;
        for (int k = 4; k < 12; k += 4) {
            const double dx = s[k], dy = s[k + 1], dp = s[k + 2], dq = s[k + 3];
            const double hx = h.hxx * dx + h.hxy * dy, hy = h.hxy * dx + h.hyy * dy;
            const double xx = h.hxxx * dx + h.hxxy * dy, xy = h.hxxy * dx + h.hxyy * dy, yy = h.hxyy * dx + h.hyyy * dy;
            const double half = h.hx * hx + h.hy * hy;
            const double b = xx * p * p + 2 * xy * p * q + yy * q * q + 2 * (bx * dp + by * dq);
            const double g1 = -(b + 2 * g * half) * iw2, c1 = hx * p + hy * q + h.hx * dp + h.hy * dq;
            const double r1 = grip * b - r * (half * iw2 + (p * dp + q * dq + climb * c1) * is3 * is3);
            o[k] = dp; o[k + 1] = dq;
            o[k + 2] = g1 * h.hx + g * hx - r1 * p - r * dp;
            o[k + 3] = g1 * h.hy + g * hy - r1 * q - r * dq;
        }
    }

    // Rolls to the closest approach; the miss is the offset there and the speed against the wanted one.
    bool shoot(Vec2 ball, PeerLaunch l, double* miss, double (*by)[2]) const {
        namespace ode = boost::numeric::odeint;
        const double c = std::cos(l.angle), s = std::sin(l.angle);
        const State start{ball.x, ball.y, l.speed * c, l.speed * s, 0, 0, -l.speed * s, l.speed * c, 0, 0, c, s};
        auto stepper = ode::make_dense_output(tolerance_, tolerance_, ode::runge_kutta_dopri5<State>());
        stepper.initialize(start, 0.0, 0.05);
        const auto system = [this](const State& x, State& d, double) { rate(x, d); };
        const auto opening = [this](const State& a) { return (a[0] - hole_.x) * a[2] + (a[1] - hole_.y) * a[3]; };
        State y;
        double lo = 0, hi = 0;
        for (int n = 0;; ++n) {
            if (n > 100000 || !(stepper.current_time() < 40)) return false;
            const auto span = stepper.do_step(system);
            const State& now = stepper.current_state();
            const double v2 = now[2] * now[2] + now[3] * now[3];
            if (!(v2 > 1e-8)) return short_of(now, miss, by);
            if (opening(now) >= 0) { lo = span.first; hi = span.second; break; }
            // Stopped for all purposes: resistance would turn it round.
            State d;
            rate(now, d);
            if (v2 < 1e-4 && now[2] * d[2] + now[3] * d[3] < 0) return short_of(now, miss, by);
        }
        double t = hi;
        stepper.calc_state(lo, y);
        double f_lo = opening(y), f_hi = opening(stepper.current_state());
        for (int n = 0; n < 12; ++n) {
            t = lo - f_lo * (hi - lo) / (f_hi - f_lo);
            stepper.calc_state(t, y);
            const double f = opening(y);
            if (std::abs(f) < 1e-10) break;
            if (f < 0) { lo = t; f_lo = f; } else { hi = t; f_hi = f; }
        }
        return missed(y, miss, by);
    }
    bool missed(const State& y, double* miss, double (*by)[2]) const {
        State d;
        rate(y, d);
        const double p = y[2], q = y[3], v = std::sqrt(p * p + q * q);
        const double ox = hole_.x - y[0], oy = hole_.y - y[1];
        const Jet3 j = jet3(grid_, y[0], y[1]);
        const double climb = j.hx * p + j.hy * q, s2 = v * v + climb * climb;
        miss[0] = (p * oy - q * ox) / v;
        miss[1] = (s2 - wanted_ * wanted_) / (2 * wanted_);
        // Along the path the offset does not change at the closest approach; the energy does.
        const double along = p * d[2] + q * d[3], open_t = v * v - (ox * d[2] + oy * d[3]);
        for (int k = 0; k < 2; ++k) {
            const double* e = &y[4 + 4 * k];
            const double open = e[0] * p + e[1] * q - ox * e[2] - oy * e[3], dt = -open / open_t;
            miss_by(by, 0, k) = (q * e[0] - p * e[1] + e[2] * oy - e[3] * ox) / v;
            miss_by(by, 1, k) = (p * e[2] + q * e[3] + along * dt) / wanted_;
        }
        return true;
    }
    static double& miss_by(double (*by)[2], int row, int column) { return by[row][column]; }
    // A ball that stops short is too slow by what the rest of the way would cost.
    bool short_of(const State& y, double* miss, double (*by)[2]) const {
        const double ox = hole_.x - y[0], oy = hole_.y - y[1], away = std::sqrt(ox * ox + oy * oy);
        miss[0] = 0;
        miss[1] = -(wanted_ * wanted_ + 2 * decel_ * away) / (2 * wanted_);
        by[0][0] = by[1][1] = 1;
        by[0][1] = by[1][0] = 0;
        return away < 1e3;
    }
    const SplineGrid& grid_;
    Vec2 hole_;
    double decel_, wanted_, tolerance_;
};

}  // namespace brae::bench
#pragma GCC diagnostic pop
