// Rolling a ball to rest as one would do it without this program: Boost.Odeint's dopri5 with dense output, the same
// surface function and equation of motion, one ball after the other. Below 10 mm/s it is given the same closed form.
#pragma once

#include "core/roll/plane_motion.h"
#include "core/roll/rolling.h"

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wuninitialized"
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#include <boost/numeric/odeint.hpp>

#include <array>

namespace brae::bench {

// The place of rest, or where the ball had left the square of half-width `half` by the end of a step.
inline Vec2 peer_rest(const SplineSurface& surface, double level_decel, RollState start, double tolerance, double half) {
    namespace ode = boost::numeric::odeint;
    using State = std::array<double, 4>;
    const auto system = [&](const State& y, State& dy, double) {
        const Vec2 v{y[2], y[3]};
        const RollRate rate = roll_rate(surface.jet(y[0], y[1]), v, level_decel);
        dy = {v.x, v.y, rate.a.x, rate.a.y};
    };
    auto stepper = ode::make_dense_output(tolerance, tolerance, ode::runge_kutta_dopri5<State>());
    stepper.initialize(State{start.p.x, start.p.y, start.v.x, start.v.y}, 0.0, 0.1);
    const auto speed = [](const State& y) { return std::sqrt(y[2] * y[2] + y[3] * y[3]); };
    State y{};
    for (int n = 0; n < 10000; ++n) {
        const State was = stepper.current_state();
        const auto [lo, hi] = stepper.do_step(system);
        y = stepper.current_state();
        if (std::max(std::abs(y[0]), std::abs(y[1])) > half) return {y[0], y[1]};
        // A step may leap over rest, where the friction turns round: then the speed was under 10 mm/s within it.
        const bool turned = was[2] * y[2] + was[3] * y[3] < 0;
        if (speed(y) > kTangentSpeed && !turned) continue;
        double a = lo, b = hi;
        for (int k = 0; k < 30; ++k) {
            const double mid = 0.5 * (a + b);
            stepper.calc_state(mid, y);
            const bool before = speed(y) > kTangentSpeed && was[2] * y[2] + was[3] * y[3] > 0;
            (before ? a : b) = mid;
        }
        stepper.calc_state(a, y);
        const Vec2 p{y[0], y[1]};
        return p + stop_on_tangent_plane(surface.jet(p.x, p.y), {y[2], y[3]}, level_decel).displacement;
    }
    return {y[0], y[1]};
}

}  // namespace brae::bench
#pragma GCC diagnostic pop
