// The rolling ball as a system of first order for the integrator, forwards or backwards in time.
#pragma once

#include "core/roll/dormand_prince.h"
#include "core/roll/resistance.h"
#include "core/roll/rolling.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace brae {

// State: x, y, forward horizontal velocity vx, vy, and the horizontal length gone. Backwards (sense -1) the same state
// runs against time, so that resistance accelerates, and the length still grows.
struct BallMotion {
    using Solver = DormandPrince<5>;
    using State = Solver::State;

    const HeightField& surface;
    double level_decel;
    double sense = 1;
    mutable SurfaceJet jet;   // of the last call
    mutable RollRate rate;    // of the last call
    mutable double lowest_normal = std::numeric_limits<double>::infinity();
    const ResistanceOptions* resistance = nullptr;   // none: constant

    void operator()(const State& y, State& dy) const noexcept {
        jet = surface.jet(y[0], y[1]);
        const Vec2 v{y[2], y[3]};
        rate = roll_rate(jet, v, resistance ? decel_at(position_of(y), v) : level_decel);
        lowest_normal = std::min(lowest_normal, rate.normal);
        dy = {sense * v.x, sense * v.y, sense * rate.a.x, sense * rate.a.y, norm(v)};
    }
    // Level deceleration of a ball at p with velocity v, by the jet of the last call.
    double decel_at(Vec2 p, Vec2 v) const noexcept {
        return resistance ? level_decel * resistance_factor(*resistance, p, v, surface_speed(jet, v)) : level_decel;
    }
    static Vec2 position_of(const State& y) { return {y[0], y[1]}; }
};

inline Vec2 position(const BallMotion::State& y) { return {y[0], y[1]}; }
inline Vec2 velocity(const BallMotion::State& y) { return {y[2], y[3]}; }

// The lines on which a spline surface's third derivative jumps. A step that ends on them keeps its order; within a
// fraction of a millimetre is enough, since the error of the rest grows with its third power.
class KnotLines {
public:
    explicit KnotLines(const HeightField& surface) {
        if (const auto* spline = dynamic_cast<const SplineSurface*>(&surface)) {
            const SplineGrid& g = spline->grid();
            x0_ = g.x0;
            y0_ = g.y0;
            cell_ = g.cell;
        }
    }
    // Time, at most h, to the first line that the ball meets, by its motion to second order.
    double limit(Vec2 p, Vec2 v, Vec2 a, double h) const {
        if (cell_ <= 0) return h;
        return std::min(axis(p.x - x0_, v.x, a.x, h), axis(p.y - y0_, v.y, a.y, h));
    }

private:
    double axis(double q, double v, double a, double h) const {
        constexpr double kNear = 2e-4;
        // The next line ahead, and the line behind where the ball turns round on the way.
        const double forward = v >= 0 ? 1.0 : -1.0;
        const double u = q * forward / cell_;
        const double gap = (std::floor(u + kNear / cell_) + 1 - u) * cell_;
        const double w = std::abs(v), b = a * forward, root = w * w + 2 * b * gap;
        if (root <= 0) return h;
        const double t = 2 * gap / (w + std::sqrt(root));
        return t < h ? t : h;
    }
    double x0_ = 0, y0_ = 0, cell_ = 0;
};

}  // namespace brae
