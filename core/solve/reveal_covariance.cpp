#include "core/solve/reveal_covariance.h"

#include "core/base/constants.h"
#include "core/roll/green_speed.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"
#include "core/solve/launch_sensitivity.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace brae {

namespace {

using Row = std::array<double, kRevealQuantities>;

// A place on one of the two paths with the answer of every quantity to a slope error there.
struct Weight { Vec2 p; std::array<Vec2, kRevealQuantities> w; };

// Crossing and pace there as a pair, so that they go through the same differences.
Vec2 crossing_pair(const Crossing& c, double level_decel) {
    return {c.offset_m, c.speed_mps * c.speed_mps / (2 * level_decel)};
}

std::optional<Vec2> crossing_of(const RevealCase& k, Launch launch, double level_decel) {
    const Vec2 direction{std::cos(launch.angle), std::sin(launch.angle)};
    const RollState start{k.ball, horizontal_velocity(k.surface.jet(k.ball.x, k.ball.y), direction, launch.speed)};
    const auto c = first_crossing(k.surface, Outline(), start, level_decel, k.line);
    return c ? std::optional(crossing_pair(*c, level_decel)) : std::nullopt;
}

// Crossing and pace there of a ball whose state at the crossing's time is a little off, to first order.
Vec2 pair_near(const RevealCase& k, const RollState& at, double level_decel) {
    const SurfaceJet jet = k.surface.jet(at.p.x, at.p.y);
    const Vec2 gradient{jet.hx, jet.hy}, v = at.v;
    const double q = jet.hxx * v.x * v.x + 2 * jet.hxy * v.x * v.y + jet.hyy * v.y * v.y;
    const RollRate rate = roll_rate(jet, v, level_decel);
    const double gone = k.line.beyond(at.p), dt = -gone / dot(v, k.line.along);
    const double squared = rate.speed3 * rate.speed3;
    const double squared_rate = 2 * dot(v, rate.a) + 2 * dot(gradient, v) * (dot(gradient, rate.a) + q);
    return {k.line.offset(at.p) + dt * dot(v, k.line.right), (squared + dt * squared_rate) / (2 * level_decel)};
}

class Joint {
public:
    Joint(const RevealCase& k, const RevealOptions& options)
        : k_(k), options_(options), decel_(level_deceleration(k.green_speed_ft)) {}

    RevealCovariance go() {
        const Outline none;
        const ErrorModel* error = options_.error;
        double length = 0;
        if (error && error->smooth_se_m > 0) length = error->smooth_length_m;
        if (error && error->correlated_se_m > 0 && (length == 0 || error->correlated_length_m < length))
            length = error->correlated_length_m;

        // The ball's own path, which dies at the place of rest.
        const PuttGround stop_ground{k_.surface, none, k_.ball, k_.stop, decel_, 0};
        const RollOutcome roll = run(k_.launch);
        ball_ = launch_sensitivity(stop_ground, k_.launch, roll.time_s, k_.green_speed_ft, 0, length);
        if (!ball_.defined) return out_;
        if (k_.crossing && !crossing_by_launch()) return out_;

        // The read's path.
        LaunchSensitivity read;
        if (k_.read) {
            double hole_speed = speed_at_hole(k_.past_m, k_.green_speed_ft);
            if (hole_speed < kTangentSpeed) hole_speed = 0;
            const PuttGround read_ground{k_.surface, none, k_.ball, k_.line.hole, decel_, hole_speed};
            read = launch_sensitivity(read_ground, k_.read->launch, k_.read->time_s, k_.green_speed_ft, k_.past_m, length);
            if (!read.defined) return out_;
        }

        add_stop();
        add_green_speed(read);
        if (length > 0) {
            const std::vector<Weight> all = weights(read);
            add_survey(all, error->smooth_se_m, error->smooth_length_m);
            add_survey(all, error->correlated_se_m, error->correlated_length_m);
        }
        out_.defined = true;
        for (const Row& row : out_.c)
            for (double value : row) out_.defined = out_.defined && std::isfinite(value);
        if (!out_.defined) out_.c = {};
        return out_;
    }

private:
    RollOutcome run(Launch launch) const {
        const Vec2 direction{std::cos(launch.angle), std::sin(launch.angle)};
        return run_roll(k_.surface, Outline(),
                        {k_.ball, horizontal_velocity(k_.surface.jet(k_.ball.x, k_.ball.y), direction, launch.speed)}, decel_,
                        RollRun{}, nullptr);
    }

    // How crossing and pace there follow the launch, and green speed at the same launch.
    bool crossing_by_launch() {
        const double turn = 1e-5, push = 1e-5 * k_.launch.speed, feet = 0.001;
        const auto by = [&](Launch up, Launch down, double ft_up, double ft_down, double step, Vec2& out) {
            const auto a = crossing_of(k_, up, level_deceleration(ft_up)), b = crossing_of(k_, down, level_deceleration(ft_down));
            if (a && b) out = (*a - *b) / step;
            return a && b;
        };
        const double s = k_.green_speed_ft, high = std::min(kFastestGreenFt, s + feet), low = std::max(kSlowestGreenFt, s - feet);
        const Launch l = k_.launch;
        // A ball that only just reaches the line has no such derivative; then none is given.
        return by({l.angle + turn, l.speed}, {l.angle - turn, l.speed}, s, s, 2 * turn, by_angle_) &&
               by({l.angle, l.speed + push}, {l.angle, l.speed - push}, s, s, 2 * push, by_push_) &&
               by(l, l, high, low, high - low, by_feet_);
    }
    Vec2 follow(Vec2 launch) const { return launch.x * by_angle_ + launch.y * by_push_; }

    void add(const Row& r, double variance) {
        for (int i = 0; i < kRevealQuantities; ++i)
            for (int j = 0; j < kRevealQuantities; ++j) out_.c[i][j] += variance * r[i] * r[j];
    }
    Row row_of(Vec2 launch, Vec2 direct) const {
        const Vec2 crossing = follow(launch) + direct;
        return {launch.x, launch.y, 0, 0, crossing.x, crossing.y};
    }

    // Where it was seen to rest: the same in x and y, independent.
    void add_stop() {
        const double variance = k_.stop_sigma_m * k_.stop_sigma_m;
        add(row_of(ball_.launch_by_end * Vec2{1, 0}, {}), variance);
        add(row_of(ball_.launch_by_end * Vec2{0, 1}, {}), variance);
    }

    void add_green_speed(const LaunchSensitivity& read) {
        Row r = row_of(ball_.launch_by_speed, by_feet_);
        r[kReadAngle] = read.launch_by_speed.x;
        r[kReadSpeed] = read.launch_by_speed.y;
        add(r, options_.green_speed_sigma_ft * options_.green_speed_sigma_ft);
    }

    std::vector<Weight> weights(const LaunchSensitivity& read) const {
        std::vector<Weight> out;
        for (const SlopeNode& n : ball_.nodes) {
            Weight w{n.at.p, {}};
            w.w[kAngle] = {n.launch_by_slope.a, n.launch_by_slope.b};
            w.w[kSpeed] = {n.launch_by_slope.c, n.launch_by_slope.d};
            if (k_.crossing) {
                // By the launch that follows, and directly where the slope acts before the crossing.
                Vec2 by_x = follow({n.launch_by_slope.a, n.launch_by_slope.c});
                Vec2 by_y = follow({n.launch_by_slope.b, n.launch_by_slope.d});
                if (n.time_s < k_.crossing->time_s) {
                    by_x = by_x - n.pull * pushed(n, {1, 0});
                    by_y = by_y - n.pull * pushed(n, {0, 1});
                }
                w.w[kCrossing] = {by_x.x, by_y.x};
                w.w[kPast] = {by_x.y, by_y.y};
            }
            out.push_back(w);
        }
        for (const SlopeNode& n : read.nodes) {
            Weight w{n.at.p, {}};
            w.w[kReadAngle] = {n.launch_by_slope.a, n.launch_by_slope.b};
            w.w[kReadSpeed] = {n.launch_by_slope.c, n.launch_by_slope.d};
            out.push_back(w);
        }
        return out;
    }
    // Crossing and pace there per m/s of push at a node.
    Vec2 pushed(const SlopeNode& n, Vec2 way) const {
        const double kick = 1e-3 * norm(n.at.v), left = k_.crossing->time_s - n.time_s;
        const auto at = [&](double sign) {
            return pair_near(k_, state_after(k_.surface, {n.at.p, n.at.v + sign * kick * way}, decel_, left), decel_);
        };
        return (at(1) - at(-1)) / (2 * kick);
    }

    // Covariance of the gradient of a Gaussian process: s^2/L^2 (I - d d^T / L^2) exp(-d^2 / 2L^2).
    void add_survey(const std::vector<Weight>& all, double se, double length) {
        if (!(se > 0 && length > 0)) return;
        const double l2 = length * length, variance = se * se / l2;
        for (const Weight& a : all)
            for (const Weight& b : all) {
                const Vec2 gap = a.p - b.p;
                const double bell = variance * std::exp(-dot(gap, gap) / (2 * l2));
                for (int i = 0; i < kRevealQuantities; ++i)
                    for (int j = 0; j < kRevealQuantities; ++j)
                        out_.c[i][j] += bell * (dot(a.w[i], b.w[j]) - dot(a.w[i], gap) * dot(b.w[j], gap) / l2);
            }
    }

    const RevealCase& k_;
    const RevealOptions& options_;
    double decel_;
    LaunchSensitivity ball_;
    Vec2 by_angle_, by_push_, by_feet_;
    RevealCovariance out_;
};

}  // namespace

double RevealCovariance::se(std::initializer_list<std::pair<RevealQuantity, double>> sum) const {
    double variance = 0;
    for (const auto& [i, f] : sum)
        for (const auto& [j, g] : sum) variance += f * g * c[i][j];
    return variance > 0 ? std::sqrt(variance) : 0;
}

RevealCovariance reveal_covariance(const RevealCase& what, const RevealOptions& options) {
    return Joint(what, options).go();
}

}  // namespace brae
