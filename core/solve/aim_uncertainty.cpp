#include "core/solve/aim_uncertainty.h"

#include "core/base/constants.h"
#include "core/roll/ball_motion.h"
#include "core/roll/run_roll.h"
#include "core/solve/end_conditions.h"

#include <array>
#include <cmath>
#include <limits>
#include <vector>

namespace brae {

namespace {

using Row = MotionState;                // of derivatives by x, y, vx, vy
using Rows = std::array<Row, 3>;

struct Node { double t; Row y; };

// The path on nodes with a midpoint between, close enough for Runge's method backwards.
std::vector<Node> path_nodes(const PuttGround& g, Launch launch, double time) {
    BallMotion motion{g.surface, g.level_decel, 1, {}, {}, std::numeric_limits<double>::infinity()};
    BallMotion::Solver step;
    const Vec2 v0 = horizontal_velocity(g.surface.jet(g.ball.x, g.ball.y), {std::cos(launch.angle), std::sin(launch.angle)},
                                        launch.speed);
    step.y0 = {g.ball.x, g.ball.y, v0.x, v0.y, 0};
    motion(step.y0, step.k1);
    const auto row = [](const BallMotion::State& y) { return Row{y[0], y[1], y[2], y[3]}; };
    std::vector<Node> nodes{{0, row(step.y0)}};
    double t = 0;
    for (int n = 0; n < 20000 && t < time; ++n) {
        // Steps of at most 8 cm and a tenth of the speed; such steps are exact to 1e-9 without control.
        const double v = norm(velocity(step.y0)), a = norm(motion.rate.a);
        double h = std::min(0.08 / std::max(v, 1e-6), 0.15 * v / std::max(a, 1e-9));
        if (!(h > 1e-9) || (g.hole_speed < kTangentSpeed && motion.rate.speed3 <= kTangentSpeed)) break;
        if (t + 1.001 * h > time) h = time - t;
        step.step(motion, h, 4);
        step.prepare_dense();
        nodes.push_back({t + 0.5 * h, row(step.at(0.5))});
        t = t + h >= time ? time : t + h;
        nodes.push_back({t, row(step.y1)});
        step.advance();
    }
    return nodes;
}

Rows times(const Rows& m, const std::array<Row, 4>& j) {
    Rows out{};
    for (int r = 0; r < 3; ++r)
        for (int c = 0; c < 4; ++c)
            for (int k = 0; k < 4; ++k) out[r][c] += m[r][k] * j[k][c];
    return out;
}
Rows plus(const Rows& a, double f, const Rows& b) {
    Rows out = a;
    for (int r = 0; r < 3; ++r)
        for (int c = 0; c < 4; ++c) out[r][c] += f * b[r][c];
    return out;
}

// First row of the inverse of the 3 x 3 matrix with columns a, b, c.
std::array<double, 3> first_inverse_row(const std::array<double, 3>& a, const std::array<double, 3>& b,
                                        const std::array<double, 3>& c) {
    const std::array<double, 3> n{b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0]};
    const double det = a[0] * n[0] + a[1] * n[1] + a[2] * n[2];
    return {n[0] / det, n[1] / det, n[2] / det};
}

}  // namespace

double direction_se(const PuttGround& g, Launch launch, double time, const ErrorModel& error) {
    const std::vector<Node> nodes = path_nodes(g, launch, time);
    if (nodes.size() < 3) return 0;

    // The end conditions' derivatives, carried backwards: mu' = -mu J (classical Runge-Kutta on the nodes).
    const Row& end = nodes.back().y;
    const auto miss = [&](const Row& y) { return end_miss(g.surface, g.hole, g.level_decel, g.hole_speed, y); };
    const auto jacobian = [&](const Row& y) { return motion_jacobian(g.surface, g.level_decel, y); };
    Rows mu{};
    for (int j = 0; j < 4; ++j) {
        Row up = end, down = end;
        up[j] += 1e-6;
        down[j] -= 1e-6;
        const auto a = miss(up), b = miss(down);
        for (int r = 0; r < 3; ++r) mu[r][j] = (a[r] - b[r]) / 2e-6;
    }
    std::array<double, 3> by_time{};
    const Vec2 a_end = roll_rate(g.surface.jet(end[0], end[1]), {end[2], end[3]}, g.level_decel).a;
    for (int r = 0; r < 3; ++r)
        by_time[r] = mu[r][0] * end[2] + mu[r][1] * end[3] + mu[r][2] * a_end.x + mu[r][3] * a_end.y;

    std::vector<Rows> at_node(nodes.size() / 2 + 1);
    at_node.back() = mu;
    auto j1 = jacobian(end);
    for (std::size_t n = at_node.size() - 1; n-- > 0;) {
        const Node& start = nodes[2 * n];
        const double h = nodes[2 * n + 2].t - start.t;
        const auto jm = jacobian(nodes[2 * n + 1].y), j0 = jacobian(start.y);
        const Rows k1 = times(mu, j1), k2 = times(plus(mu, h / 2, k1), jm), k3 = times(plus(mu, h / 2, k2), jm),
                   k4 = times(plus(mu, h, k3), j0);
        mu = plus(plus(plus(plus(mu, h / 6, k1), h / 3, k2), h / 3, k3), h / 6, k4);
        at_node[n] = mu;
        j1 = j0;
    }

    // A push on the way must be met by direction, launch speed and time: the row that gives the direction.
    const SurfaceJet jet = g.surface.jet(g.ball.x, g.ball.y);
    const auto start_velocity = [&](double angle, double speed) {
        return horizontal_velocity(jet, {std::cos(angle), std::sin(angle)}, speed);
    };
    const Vec2 v_turn = (start_velocity(launch.angle + 1e-6, launch.speed) - start_velocity(launch.angle - 1e-6, launch.speed)) / 2e-6;
    const Vec2 v_push = start_velocity(launch.angle, launch.speed) / launch.speed;
    std::array<double, 3> by_turn{}, by_push{};
    for (int r = 0; r < 3; ++r) {
        by_turn[r] = mu[r][2] * v_turn.x + mu[r][3] * v_turn.y;
        by_push[r] = mu[r][2] * v_push.x + mu[r][3] * v_push.y;
    }
    const auto row = first_inverse_row(by_turn, by_push, by_time);

    // Weights of the slope error along the path: d direction = sum over nodes of weight . grad(dh).
    struct Weight { Vec2 p, w; };
    std::vector<Weight> weights;
    for (std::size_t n = 0; n < at_node.size(); ++n) {
        const Node& node = nodes[2 * n];
        const double before = n > 0 ? nodes[2 * n - 2].t : node.t;
        const double after = n + 1 < at_node.size() ? nodes[2 * n + 2].t : node.t;
        const SurfaceJet here = g.surface.jet(node.y[0], node.y[1]);
        const double pull = kRollFactor * kGravity / (1 + here.hx * here.hx + here.hy * here.hy);
        Vec2 w;
        for (int r = 0; r < 3; ++r) w = w + row[r] * Vec2{at_node[n][r][2], at_node[n][r][3]};
        weights.push_back({{node.y[0], node.y[1]}, (pull * 0.5 * (after - before)) * w});
    }

    // Variance by the covariance of the gradient of each Gaussian process: s^2/L^2 (I - d d^T / L^2) exp(-d^2 / 2L^2).
    double variance = 0;
    const auto add = [&](double se, double length) {
        if (!(se > 0 && length > 0)) return;
        const double l2 = length * length;
        double sum = 0;
        for (std::size_t i = 0; i < weights.size(); ++i)
            for (std::size_t k = 0; k <= i; ++k) {
                const Vec2 gap = weights[i].p - weights[k].p;
                const double bell = std::exp(-dot(gap, gap) / (2 * l2));
                const double c = bell * (dot(weights[i].w, weights[k].w) - dot(weights[i].w, gap) * dot(weights[k].w, gap) / l2);
                sum += (i == k ? 1 : 2) * c;
            }
        variance += se * se / l2 * sum;
    };
    add(error.smooth_se_m, error.smooth_length_m);
    add(error.correlated_se_m, error.correlated_length_m);
    return variance > 0 && std::isfinite(variance) ? std::sqrt(variance) : 0;
}

}  // namespace brae
