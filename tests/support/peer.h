// A second, independent way to roll a ball: the equations written again from docs/physics.md as force and constraint
// in 3D, integrated by Boost.Odeint at a tight tolerance. It shares no code with core/roll.
#pragma once

#include "core/terrain/spline_surface.h"

// Odeint copies its steppers' scratch arrays before their first use, which the compiler rightly remarks on.
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wuninitialized"
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#include <boost/numeric/odeint.hpp>

#include <array>
#include <cmath>

namespace brae::test {

// right: the offset with a sign, positive when the path passes to the right of the hole as the ball travels.
struct PeerPass { double offset = 1e9, speed = -1, stop_x = 0, stop_y = 0, time = 0, right = 0; };

// Rolls from (x, y) at 3D speed v in the horizontal direction (dx, dy) until it is slower than `slow` or `seconds`
// are over; tells the least distance to (hx, hy) and the 3D speed there.
// end_at_pass_m: it ends at the first closest approach nearer than this.
inline PeerPass peer_roll(const HeightField& surface, double x, double y, double dx, double dy, double v, double ft,
                          double hole_x, double hole_y, double slow = 1e-3, double seconds = 30, double end_at_pass_m = 0) {
    using State = std::array<double, 4>;
    const double g = 9.80665, a_level = std::pow(6 * 0.3048, 2) / (2 * 0.3048 * ft);
    const auto speed3 = [&](const State& s) {
        const SurfaceJet j = surface.jet(s[0], s[1]);
        const double vz = j.hx * s[2] + j.hy * s[3];
        return std::sqrt(s[2] * s[2] + s[3] * s[3] + vz * vz);
    };
    // Newton's law on the surface: tangential part of gravity times 5/7, friction along -v3, and the normal part that
    // keeps the ball on the surface, all as 3D vectors.
    const auto rate = [&](const State& s, State& out, double) {
        const SurfaceJet j = surface.jet(s[0], s[1]);
        const double w = std::sqrt(1 + j.hx * j.hx + j.hy * j.hy);
        const double n[3] = {-j.hx / w, -j.hy / w, 1 / w};
        const double vel[3] = {s[2], s[3], j.hx * s[2] + j.hy * s[3]};
        const double bend = (j.hxx * s[2] * s[2] + 2 * j.hxy * s[2] * s[3] + j.hyy * s[3] * s[3]) / w;
        const double press = g * n[2] + bend;
        const double size = std::sqrt(vel[0] * vel[0] + vel[1] * vel[1] + vel[2] * vel[2]);
        double acc[2];
        for (int i = 0; i < 2; ++i) {
            const double tangential = g * n[2] * n[i];   // of (0, 0, -g) minus its normal part
            acc[i] = 5.0 / 7.0 * tangential - a_level / g * press * vel[i] / size + bend * n[i];
        }
        out = {s[2], s[3], acc[0], acc[1]};
    };
    const SurfaceJet j = surface.jet(x, y);
    const double climb = j.hx * dx + j.hy * dy, f = v / std::sqrt(dx * dx + dy * dy + climb * climb);
    State s{x, y, f * dx, f * dy};

    namespace ode = boost::numeric::odeint;
    auto stepper = ode::make_controlled<ode::runge_kutta_fehlberg78<State>>(1e-12, 1e-12);
    PeerPass out;
    double t = 0, dt = 1e-3;
    const auto opening = [&](const State& a) { return (a[0] - hole_x) * a[2] + (a[1] - hole_y) * a[3]; };
    const auto note = [&](const State& a, double when) {
        const double d = std::hypot(a[0] - hole_x, a[1] - hole_y);
        const double turn = a[2] * (hole_y - a[1]) - a[3] * (hole_x - a[0]);
        if (d < out.offset) out = {d, speed3(a), a[0], a[1], when, turn < 0 ? -d : d};
    };
    for (int n = 0; n < 200000 && t < seconds; ++n) {
        dt = std::min(dt, 0.05);
        const double v_now = speed3(s);
        dt = std::min(dt, 0.2 * v_now);   // short of rest
        const State before = s;
        const double t_before = t;
        if (stepper.try_step(rate, s, t, dt) == ode::fail) continue;
        if (opening(before) < 0 && opening(s) >= 0) {
            // Halve the step to the closest approach.
            State lo = before;
            double span = t - t_before;
            ode::runge_kutta_fehlberg78<State> plain;
            for (int k = 0; k < 45; ++k) {
                span *= 0.5;
                State mid = lo;
                plain.do_step(rate, mid, 0.0, span);
                if (opening(mid) < 0) lo = mid;
            }
            note(lo, t_before);
            if (out.offset < end_at_pass_m) return out;
        }
        if (speed3(s) < slow) break;
    }
    const double d = std::hypot(s[0] - hole_x, s[1] - hole_y);
    if (d < out.offset) out = {d, speed3(s), s[0], s[1], t, 0};
    out.stop_x = s[0];
    out.stop_y = s[1];
    return out;
}

}  // namespace brae::test
#pragma GCC diagnostic pop
