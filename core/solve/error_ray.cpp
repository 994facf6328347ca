#include "core/solve/error_ray.h"

#include "core/base/constants.h"
#include "core/roll/green_speed.h"
#include "core/roll/run_roll.h"
#include "core/solve/back_trace.h"
#include "core/solve/end_conditions.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr int kMostSteps = 5000;
constexpr double kSlowest = 0.005;     // m/s; a ray that gets slower than this has no ball at its end
constexpr double kFarLengths = 6;      // correlation lengths beyond which an error knows nothing of the other

// x, y, vx, vy; the two rows of derivatives; the two answers to green speed.
using Carried = std::array<double, 14>;

class Tracer {
public:
    Tracer(const ErrorRayTask& task, double parameter)
        : task_(task), decel_(level_deceleration(task.green_speed_ft)),
          decel_by_ft_(-decel_ / task.green_speed_ft), hole_speed_(speed_at_hole(task.past_m, task.green_speed_ft)) {
        if (hole_speed_ < kTangentSpeed) hole_speed_ = 0;
        start_ = back_start(task.surface, task.hole, decel_, hole_speed_, parameter);
    }

    ErrorRay trace() {
        if (start_.dying && start_.e >= 1) return {};
        Carried y = at_hole();
        double s = start_.s;
        keep(y);
        Part part;
        Row now = push_weight(y);
        Vec2 from{y[0], y[1]};
        std::size_t next = 0;
        for (int n = 0; n < kMostSteps && next < task_.lengths.size(); ++n) {
            // To the next node, in short steps where the ball is slow.
            const Vec2 v{y[2], y[3]};
            const RollRate rate = roll_rate(task_.surface.jet(y[0], y[1]), v, decel_);
            if (!(rate.speed3 > kSlowest && rate.speed3 <= kFastestLaunchMps && rate.normal > 0)) break;
            const double left = task_.lengths[next] - s, most = 0.15 * dot(v, v) / std::max(norm(rate.a), 1e-9);
            const bool arrives = left <= most;
            const double ds = arrives ? left : most;
            if (!(ds > 1e-9)) break;
            y = runge_kutta(y, ds);
            if (!std::isfinite(y[0] + y[1] + y[2] + y[3])) break;
            s = arrives ? task_.lengths[next] : s + ds;
            const Row after = push_weight(y);
            for (int i = 0; i < 2; ++i)
                for (int k = 0; k < 2; ++k) part.w[i][k] += 0.5 * ds * (now[i][k] + after[i][k]);
            now = after;
            if (!arrives) continue;
            part.p = 0.5 * (from + Vec2{y[0], y[1]});
            add(part);
            part = {};
            from = {y[0], y[1]};
            keep(y);
            ++next;
            if (y[0] < task_.box.x0 || y[0] > task_.box.x1 || y[1] < task_.box.y0 || y[1] > task_.box.y1) break;
        }
        return std::move(ray_);
    }

private:
    using Row = std::array<std::array<double, 2>, 2>;
    struct Part { Vec2 p; Row w{}; };   // answer of the conditions to an error of slope within one spacing

    // The conditions at the hole and their derivatives, with the time of arrival taken out.
    Carried at_hole() {
        const MotionState end{start_.state.p.x, start_.state.p.y, start_.state.v.x, start_.state.v.y};
        const auto miss = [&](const MotionState& y, double decel, double speed) {
            return end_miss(task_.surface, task_.hole, decel, speed, y);
        };
        double mu[3][4], by_time[3], by_ft[3];
        for (int j = 0; j < 4; ++j) {
            MotionState up = end, down = end;
            up[j] += 1e-6;
            down[j] -= 1e-6;
            const auto a = miss(up, decel_, hole_speed_), b = miss(down, decel_, hole_speed_);
            for (int r = 0; r < 3; ++r) mu[r][j] = (a[r] - b[r]) / 2e-6;
        }
        const Vec2 v = start_.state.v, a = roll_rate(task_.surface.jet(end[0], end[1]), v, decel_).a;
        for (int r = 0; r < 3; ++r) by_time[r] = mu[r][0] * v.x + mu[r][1] * v.y + mu[r][2] * a.x + mu[r][3] * a.y;
        const double ft = 1e-3;
        const auto at_speed = [&](double feet) {
            const double d = decel_ + decel_by_ft_ * feet;
            return miss(end, d, hole_speed_ > 0 ? hole_speed_ * std::sqrt(d / decel_) : 0);
        };
        const auto quick = at_speed(ft), slow = at_speed(-ft);
        for (int r = 0; r < 3; ++r) by_ft[r] = (quick[r] - slow[r]) / (2 * ft);

        // Two combinations that do not answer to the time of arrival.
        double keep_rows[2][3];
        if (start_.dying) {
            const double rows[2][3] = {{1, 0, -by_time[0] / by_time[2]}, {0, 1, -by_time[1] / by_time[2]}};
            std::copy(&rows[0][0], &rows[0][0] + 6, &keep_rows[0][0]);
        } else {
            const Vec2 t = unit(v);
            const double pace = by_time[2] / norm(v);
            const double rows[2][3] = {{-t.y, t.x, 0}, {-pace * t.x, -pace * t.y, 1}};
            std::copy(&rows[0][0], &rows[0][0] + 6, &keep_rows[0][0]);
        }
        Carried out{end[0], end[1], end[2], end[3]};
        for (int i = 0; i < 2; ++i)
            for (int r = 0; r < 3; ++r) {
                for (int j = 0; j < 4; ++j) out[4 + 4 * i + j] += keep_rows[i][r] * mu[r][j];
                out[12 + i] += keep_rows[i][r] * by_ft[r];
            }
        return out;
    }

    // Derivatives by the length gone backwards: the motion, mu' = -mu J forwards, and what green speed does on the way.
    Carried rates(const Carried& y) const {
        const MotionState state{y[0], y[1], y[2], y[3]};
        const Vec2 v{y[2], y[3]};
        const SurfaceJet jet = task_.surface.jet(y[0], y[1]);
        const Vec2 a = roll_rate(jet, v, decel_).a;
        const Vec2 a_ft = (roll_rate(jet, v, decel_ + 1e-3).a - a) / 1e-3 * decel_by_ft_;   // linear in the deceleration
        const auto jacobian = motion_jacobian(task_.surface, decel_, state);
        const double per_m = 1 / norm(v);
        Carried out{-v.x * per_m, -v.y * per_m, -a.x * per_m, -a.y * per_m};
        for (int i = 0; i < 2; ++i) {
            for (int c = 0; c < 4; ++c)
                for (int k = 0; k < 4; ++k) out[4 + 4 * i + c] += per_m * y[4 + 4 * i + k] * jacobian[k][c];
            out[12 + i] = per_m * (y[4 + 4 * i + 2] * a_ft.x + y[4 + 4 * i + 3] * a_ft.y);
        }
        return out;
    }

    Carried runge_kutta(const Carried& y, double h) const {
        const auto plus = [](const Carried& a, double f, const Carried& b) {
            Carried out = a;
            for (std::size_t i = 0; i < a.size(); ++i) out[i] += f * b[i];
            return out;
        };
        const Carried k1 = rates(y), k2 = rates(plus(y, h / 2, k1)), k3 = rates(plus(y, h / 2, k2)), k4 = rates(plus(y, h, k3));
        return plus(plus(plus(plus(y, h / 6, k1), h / 3, k2), h / 3, k3), h / 6, k4);
    }

    // Answer of the conditions to an error of slope, per metre of the way: it pushes by 5/7 g / W^2 for ds / |v|.
    Row push_weight(const Carried& y) const {
        const SurfaceJet jet = task_.surface.jet(y[0], y[1]);
        const double pull = kRollFactor * kGravity / (1 + jet.hx * jet.hx + jet.hy * jet.hy) / std::hypot(y[2], y[3]);
        return {{{pull * y[6], pull * y[7]}, {pull * y[10], pull * y[11]}}};
    }

    // Covariance of the gradient of a process at two places d apart: s^2/L^2 (I - d d^T / L^2) exp(-d^2 / 2L^2).
    void add(const Part& part) {
        parts_.push_back(part);
        double cross[2][2] = {};
        const auto process = [&](double se, double length) {
            if (!(se > 0 && length > 0)) return;
            const double l2 = length * length, f = se * se / l2;
            for (std::size_t i = 0; i < parts_.size(); ++i) {
                const Vec2 d = part.p - parts_[i].p;
                const double d2 = dot(d, d);
                if (d2 > kFarLengths * kFarLengths * l2) continue;
                const double bell = (i + 1 == parts_.size() ? 0.5 : 1) * f * std::exp(-d2 / (2 * l2));
                const double xx = bell * (1 - d.x * d.x / l2), xy = -bell * d.x * d.y / l2, yy = bell * (1 - d.y * d.y / l2);
                for (int k = 0; k < 2; ++k) {
                    const auto& w = parts_[i].w[k];
                    cross[0][k] += xx * w[0] + xy * w[1];
                    cross[1][k] += xy * w[0] + yy * w[1];
                }
            }
        };
        process(task_.error.smooth_se_m, task_.error.smooth_length_m);
        process(task_.error.correlated_se_m, task_.error.correlated_length_m);
        const auto with = [&](int i, int k) { return part.w[i][0] * cross[0][k] + part.w[i][1] * cross[1][k]; };
        covariance_[0] += 2 * with(0, 0);
        covariance_[1] += with(0, 1) + with(1, 0);
        covariance_[2] += 2 * with(1, 1);
    }

    void keep(const Carried& y) {
        ErrorNode n;
        n.p = {y[0], y[1]};
        n.v = {y[2], y[3]};
        for (int i = 0; i < 2; ++i) {
            for (int j = 0; j < 4; ++j) n.by_state[i][j] = y[4 + 4 * i + j];
            n.by_green_speed[i] = y[12 + i];
        }
        n.by_survey = covariance_;
        ray_.nodes.push_back(n);
    }

    const ErrorRayTask& task_;
    double decel_, decel_by_ft_, hole_speed_;
    BackStart start_;
    std::vector<Part> parts_;
    std::array<double, 3> covariance_{};
    ErrorRay ray_;
};

}  // namespace

std::vector<double> error_ray_lengths(const ErrorModel& error, double longest_m) {
    double least = 1;
    if (error.smooth_se_m > 0) least = std::min(least, error.smooth_length_m);
    if (error.correlated_se_m > 0) least = std::min(least, error.correlated_length_m);
    const double widest = std::clamp(least / 4, 0.05, 0.15);
    std::vector<double> out;
    for (double s = 0.02; s < longest_m; s += std::min(widest, 0.15 * s + 0.005)) out.push_back(s);
    return out;
}

ErrorRay trace_error_ray(const ErrorRayTask& task, double parameter) { return Tracer(task, parameter).trace(); }

bool angle_errors(const ErrorNode& n, const SurfaceJet& jet, AngleErrors& out) {
    // Velocity at the start by the angle and by the launch speed.
    const double angle = std::atan2(n.v.y, n.v.x), speed = surface_speed(jet, n.v);
    const auto velocity = [&](double a) { return horizontal_velocity(jet, {std::cos(a), std::sin(a)}, speed); };
    const Vec2 turn = (velocity(angle + 1e-6) - velocity(angle - 1e-6)) / 2e-6, push = n.v / speed;
    const auto along = [&](int i, Vec2 d) { return n.by_state[i][2] * d.x + n.by_state[i][3] * d.y; };
    const double t0 = along(0, turn), t1 = along(1, turn), p0 = along(0, push), p1 = along(1, push), det = t0 * p1 - t1 * p0;
    if (!(std::abs(det) > 1e-9 * std::hypot(t0, t1) * std::hypot(p0, p1))) return false;
    // First row of the inverse of the columns turn, push.
    const double r0 = p1 / det, r1 = -p0 / det;
    out.by_green_speed = -(r0 * n.by_green_speed[0] + r1 * n.by_green_speed[1]);
    const double variance = r0 * r0 * n.by_survey[0] + 2 * r0 * r1 * n.by_survey[1] + r1 * r1 * n.by_survey[2];
    out.survey_se = std::sqrt(std::max(variance, 0.0));
    return std::isfinite(out.by_green_speed) && std::isfinite(out.survey_se);
}

}  // namespace brae
