#include "core/roll/speed_calibration.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/base/interval.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/run_roll.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <map>

namespace brae {

double chi_square_tail(double x, int n) noexcept {
    if (n <= 0 || !(x > 0)) return 1;
    // Incomplete gamma function: series for small x, continued fraction by Lentz's method for large
    // (Abramowitz and Stegun 1964, 6.5.29 and 6.5.31).
    const double a = n / 2.0, z = x / 2, front = std::exp(a * std::log(z) - z - std::lgamma(a));
    if (z < a + 1) {
        double term = 1 / a, sum = term;
        for (int k = 1; k < 2000 && term > sum * 1e-15; ++k) sum += term *= z / (a + k);
        return std::clamp(1 - front * sum, 0.0, 1.0);
    }
    double b = z + 1 - a, c = 1e300, d = 1 / b, h = d;
    for (int k = 1; k < 2000; ++k) {
        const double an = -k * (k - a);
        b += 2;
        d = 1 / (an * d + b);
        c = b + an / c;
        h *= c * d;
        if (std::abs(c * d - 1) < 1e-15) break;
    }
    return std::clamp(front * h, 0.0, 1.0);
}

namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

// The ground with a tilt added.
class Tilted final : public HeightField {
public:
    Tilted(const HeightField& base, Vec2 gradient) : base_(base), gradient_(gradient) {}
    SurfaceJet jet(double x, double y) const noexcept override {
        SurfaceJet j = base_.jet(x, y);
        j.h += gradient_.x * x + gradient_.y * y;
        j.hx += gradient_.x;
        j.hy += gradient_.y;
        return j;
    }

private:
    const HeightField& base_;
    Vec2 gradient_;
};

// Parameters of the fit: green speed, unknown launch speeds, and, where asked, a tilt.
struct Parameters { double speed_ft = 10; std::vector<double> launches; Vec2 tilt; };

// Residuals divided by their errors, two a roll, and their derivatives.
struct Whitened { VectorXd r; MatrixXd j; std::vector<RollResidual> rolls; bool defined = false; };

struct Fit { Parameters at; Whitened w; double chi_square = std::numeric_limits<double>::infinity(); MatrixXd covariance; bool regular = false; };

class Calibrator {
public:
    Calibrator(const HeightField& surface, const std::vector<RolledBall>& rolls) : surface_(surface), rolls_(rolls) {
        // One unknown for each group and for each unknown roll of its own.
        std::map<int, int> groups;
        for (const RolledBall& r : rolls) {
            int which = -1;
            if (!r.launch_mps) {
                which = unknown_;
                if (r.launch_group >= 0) which = groups.try_emplace(r.launch_group, unknown_).first->second;
                if (which == unknown_) ++unknown_;
            }
            unknown_of_.push_back(which);
        }
    }
    int unknown() const { return unknown_; }

    // Levenberg-Marquardt, from several green speeds where need be; the best of them.
    Fit fit(bool with_tilt, const Parameters* from = nullptr) const {
        if (from) return descend(*from, with_tilt);
        // Known launches give a good start; without one, or where it leads nowhere, other speeds are tried too.
        const std::optional<double> start = energy_speed();
        Fit best;
        if (start) best = descend(start_at(*start), with_tilt);
        if (best.regular && best.chi_square < 4.0 * static_cast<double>(best.w.r.size())) return best;
        for (double ft : {7.0, 10.0, 13.0}) {
            const Fit f = descend(start_at(ft), with_tilt);
            if (f.chi_square < best.chi_square) best = f;
        }
        return best;
    }

private:
    double decel(double ft) const { return kRampReleaseMps * kRampReleaseMps / (2 * kFoot * ft); }

    // Level deceleration times length = launch energy + drop, along the straight line.
    std::optional<double> energy_speed() const {
        std::vector<double> feet;
        for (const RolledBall& r : rolls_) {
            if (!r.launch_mps) continue;
            const double a = (*r.launch_mps * *r.launch_mps + 2 * kRollFactor * kGravity * drop(r)) / (2 * distance(r.start, r.finish));
            if (a > 0) feet.push_back(std::clamp(kRampReleaseMps * kRampReleaseMps / (2 * kFoot * a), 4.0, 16.0));
        }
        if (feet.empty()) return std::nullopt;
        std::nth_element(feet.begin(), feet.begin() + feet.size() / 2, feet.end());
        return feet[feet.size() / 2];
    }
    double drop(const RolledBall& r) const {
        return surface_.height(r.start.x, r.start.y) - surface_.height(r.finish.x, r.finish.y);
    }
    Parameters start_at(double ft) const {
        Parameters p;
        p.speed_ft = ft;
        std::vector<double> sum(unknown_, 0.0);
        std::vector<int> count(unknown_, 0);
        for (std::size_t i = 0; i < rolls_.size(); ++i) {
            if (unknown_of_[i] < 0) continue;
            const double squared = 2 * decel(ft) * distance(rolls_[i].start, rolls_[i].finish) - 2 * kRollFactor * kGravity * drop(rolls_[i]);
            sum[unknown_of_[i]] += std::sqrt(std::max(0.09, squared));
            ++count[unknown_of_[i]];
        }
        for (int k = 0; k < unknown_; ++k) p.launches.push_back(sum[k] / count[k]);
        return p;
    }

    // Where a roll ends; false where it does not come to rest.
    static bool rest(const HeightField& ground, const RolledBall& r, double turn, double speed, double level_decel, Vec2& out) {
        const Vec2 way = unit(r.toward - r.start);
        const double c = std::cos(turn), s = std::sin(turn);
        const Vec2 direction{c * way.x - s * way.y, s * way.x + c * way.y};
        RollRun run;
        run.tolerance = 1e-9;
        const SurfaceJet jet = ground.jet(r.start.x, r.start.y);
        const RollOutcome o = run_roll(ground, Outline(), {r.start, horizontal_velocity(jet, direction, speed)}, level_decel, run, nullptr);
        out = o.at.p;
        return o.end == RollEnd::stopped;
    }

    Whitened whitened(const Parameters& p, bool with_tilt, bool derivatives) const {
        const int n = static_cast<int>(rolls_.size()), columns = 1 + unknown_ + (with_tilt ? 2 : 0);
        Whitened out;
        out.r = VectorXd::Zero(2 * n);
        out.j = MatrixXd::Zero(2 * n, columns);
        const Tilted ground(surface_, p.tilt);
        const double a = decel(p.speed_ft);
        for (int i = 0; i < n; ++i) {
            const RolledBall& roll = rolls_[i];
            const int which = unknown_of_[i];
            const double speed = which < 0 ? *roll.launch_mps : p.launches[which];
            Vec2 end;
            if (!rest(ground, roll, 0, speed, a, end)) return out;

            // Central differences of the place of rest.
            bool all = true;
            const auto by = [&](double turn, double push, double feet, Vec2 tilt, double step) {
                const Tilted up(surface_, p.tilt + tilt), down(surface_, p.tilt - tilt);
                Vec2 x, y;
                all = rest(up, roll, turn, speed + push, decel(p.speed_ft + feet), x) && all;
                all = rest(down, roll, -turn, speed - push, decel(p.speed_ft - feet), y) && all;
                return (x - y) / (2 * step);
            };
            const Vec2 by_turn = by(1e-4, 0, 0, {}, 1e-4), by_push = by(0, 1e-4 * speed, 0, {}, 1e-4 * speed);

            // Error of the seen finish as the model sees it, along and across; its inverse root whitens.
            const Vec2 along = unit(end - roll.start), right = right_of(along);
            const double s_turn = roll.direction_sigma_rad, s_push = which < 0 || roll.launch_group >= 0 ? roll.launch_sigma_mps : 0;
            const double f2 = roll.finish_sigma_m * roll.finish_sigma_m;
            const Vec2 t = s_turn * Vec2{dot(by_turn, along), dot(by_turn, right)};
            const Vec2 q = s_push * Vec2{dot(by_push, along), dot(by_push, right)};
            const double c00 = f2 + t.x * t.x + q.x * q.x, c01 = t.x * t.y + q.x * q.y, c11 = f2 + t.y * t.y + q.y * q.y;
            const double l00 = std::sqrt(c00), l10 = c01 / l00, l11 = std::sqrt(c11 - l10 * l10);
            const auto put = [&](Vec2 v, auto&& set) {
                const double first = dot(v, along) / l00;
                set(2 * i, first);
                set(2 * i + 1, (dot(v, right) - l10 * first) / l11);
            };
            const Vec2 miss = roll.finish - end;
            put(miss, [&](int row, double v) { out.r[row] = v; });
            out.rolls.push_back({dot(miss, along), dot(miss, right), l00, std::sqrt(c11), speed});
            if (derivatives) {
                put(by(0, 0, 1e-3, {}, 1e-3), [&](int row, double v) { out.j(row, 0) = v; });
                if (which >= 0) put(by_push, [&](int row, double v) { out.j(row, 1 + which) = v; });
                if (with_tilt) {
                    put(by(0, 0, 0, {1e-5, 0}, 1e-5), [&](int row, double v) { out.j(row, columns - 2) = v; });
                    put(by(0, 0, 0, {0, 1e-5}, 1e-5), [&](int row, double v) { out.j(row, columns - 1) = v; });
                }
            }
            if (!all) return out;
        }
        out.defined = out.r.allFinite() && out.j.allFinite();
        return out;
    }

    Fit descend(Parameters at, bool with_tilt) const {
        Fit fit;
        fit.at = at;
        fit.w = whitened(at, with_tilt, true);
        if (!fit.w.defined) return fit;
        double damping = 1e-5;
        for (int n = 0; n < 60; ++n) {
            const MatrixXd normal = fit.w.j.transpose() * fit.w.j;
            const VectorXd pull = fit.w.j.transpose() * fit.w.r;
            MatrixXd damped = normal;
            for (int k = 0; k < damped.rows(); ++k) damped(k, k) += damping * (normal(k, k) + 1e-12);
            VectorXd step = damped.ldlt().solve(pull);
            if (!step.allFinite()) break;
            Parameters trial = fit.at;
            const double dft = std::clamp(step[0], -2.0, 2.0), shrink = step[0] != 0 ? dft / step[0] : 1;
            step *= shrink;
            trial.speed_ft = std::clamp(trial.speed_ft + step[0], 2.0, 30.0);
            for (int k = 0; k < unknown_; ++k) trial.launches[k] = std::clamp(trial.launches[k] + step[1 + k], 0.05, 2 * kFastestLaunchMps);
            if (with_tilt) trial.tilt = trial.tilt + Vec2{step[1 + unknown_], step[2 + unknown_]};
            Whitened w = whitened(trial, with_tilt, true);
            const double before = fit.w.r.squaredNorm();
            if (!w.defined || !(w.r.squaredNorm() <= before * (1 + 1e-12))) {
                damping *= 8;
                if (damping > 1e10) break;
                continue;
            }
            fit.at = trial;
            fit.w = std::move(w);
            damping = std::max(1e-12, damping / 8);
            if (step.norm() < 1e-6) break;   // what is left is of second order
        }
        fit.chi_square = fit.w.r.squaredNorm();
        // Scaled, so that units do not decide what counts as singular.
        const MatrixXd normal = fit.w.j.transpose() * fit.w.j;
        const VectorXd scale = normal.diagonal().cwiseSqrt().cwiseMax(1e-300);
        const MatrixXd scaled = scale.cwiseInverse().asDiagonal() * normal * scale.cwiseInverse().asDiagonal();
        const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(scaled);
        fit.regular = eigen.info() == Eigen::Success && eigen.eigenvalues().minCoeff() > 1e-9;
        if (fit.regular) {
            const MatrixXd inverse = scaled.inverse();
            fit.covariance = scale.cwiseInverse().asDiagonal() * inverse * scale.cwiseInverse().asDiagonal();
        }
        return fit;
    }

    const HeightField& surface_;
    const std::vector<RolledBall>& rolls_;
    std::vector<int> unknown_of_;
    int unknown_ = 0;
};

void check(const Outline& outline, const std::vector<RolledBall>& rolls) {
    if (rolls.empty() || rolls.size() > 200)
        throw usage_error(fmt::format("there are {} rolls; 1 to 200 are wanted", rolls.size()));
    for (std::size_t i = 0; i < rolls.size(); ++i) {
        const RolledBall& r = rolls[i];
        const auto refuse = [&](const std::string& what) { throw usage_error(fmt::format("roll {}: {}", i + 1, what)); };
        for (Vec2 p : {r.start, r.toward, r.finish})
            if (!std::isfinite(p.x) || !std::isfinite(p.y)) refuse("a place is not a number; x and y in metres are wanted");
        if (!(distance(r.start, r.toward) > 1e-3)) refuse("it starts towards the place where it starts; a point on its line is wanted");
        if (!(distance(r.start, r.finish) >= 0.3))
            refuse(fmt::format("it ran {:.2f} m; at least 0.3 m are wanted", distance(r.start, r.finish)));
        if (!outline.empty())
            for (Vec2 p : {r.start, r.finish})
                if (!outline.contains(p)) refuse(fmt::format("{:.3f},{:.3f} is not on the green", p.x, p.y));
        if (r.launch_mps && !(*r.launch_mps > 0 && *r.launch_mps <= kFastestLaunchMps))
            refuse(fmt::format("the launch speed is {} m/s; over 0 to {:g} m/s are wanted", *r.launch_mps, kFastestLaunchMps));
        if (!(r.finish_sigma_m > 0 && r.finish_sigma_m <= 1)) refuse("its finish is known to more than 1 m or to nothing; over 0 to 1 m are wanted");
        if (!(r.direction_sigma_rad >= 0 && r.direction_sigma_rad <= 0.5)) refuse("its start line is known to over 0.5 rad; 0 to 0.5 are wanted");
        if (!(r.launch_sigma_mps >= 0 && r.launch_sigma_mps <= 1)) refuse("its launch is known to over 1 m/s; 0 to 1 m/s are wanted");
    }
}

// The ground's extra tilt with its standard error along its own direction.
TiltError tilt_of(const Fit& fit, double gained) {
    TiltError out;
    const int k = static_cast<int>(fit.covariance.rows()) - 2;
    out.slope = norm(fit.at.tilt);
    const Vec2 d = out.slope > 0 ? fit.at.tilt / out.slope : Vec2{1, 0};
    const auto& c = fit.covariance;
    out.slope_se = std::sqrt(std::max(0.0, d.x * d.x * c(k, k) + 2 * d.x * d.y * c(k, k + 1) + d.y * d.y * c(k + 1, k + 1)));
    out.falls_to_bearing_deg = bearing_deg(-d);
    out.speed_ft = fit.at.speed_ft;
    out.p_value = std::exp(-std::max(0.0, gained) / 2);   // chi-square with two degrees of freedom
    return out;
}

}  // namespace

SpeedCalibration calibrate_speed(const HeightField& surface, const Outline& outline, const std::vector<RolledBall>& rolls,
                                 const SpeedCalibrationOptions& options) {
    check(outline, rolls);
    const Calibrator calibrator(surface, rolls);
    SpeedCalibration out;
    const int n = static_cast<int>(rolls.size()), parameters = 1 + calibrator.unknown();
    out.degrees_of_freedom = 2 * n - parameters;
    const Fit fit = calibrator.fit(false);
    if (!std::isfinite(fit.chi_square)) {
        out.agrees = false;
        out.sentence = "on this surface a ball so rolled does not come to rest at any green speed, so model and green disagree "
                       "or a roll is noted wrongly";
        return out;
    }

    // Green speed and its errors.
    out.speed_ft = fit.at.speed_ft;
    out.chi_square = fit.chi_square;
    out.rolls = fit.w.rolls;
    out.p_value = chi_square_tail(fit.chi_square, out.degrees_of_freedom);
    double z_along = 0, z_across = 0;
    for (const RollResidual& r : out.rolls) {
        out.mean_along_m += r.along_m / n;
        out.mean_across_m += r.across_m / n;
        z_along += r.along_m / r.along_sigma_m / std::sqrt(double(n));
        z_across += r.across_m / r.across_sigma_m / std::sqrt(double(n));
    }
    if (fit.regular) out.sigma_ft = std::sqrt(fit.covariance(0, 0));
    out.scaled_sigma_ft = out.sigma_ft *
        std::sqrt(std::max(1.0, out.degrees_of_freedom > 0 ? out.chi_square / out.degrees_of_freedom : 1.0));
    if (!fit.regular || out.sigma_ft > options.most_sigma_ft) {
        out.sentence = "these rolls do not tell the green speed: a longer or shorter launch would explain them as well; roll "
                       "from a ramp, or out and back along one line at one launch speed";
        return out;
    }
    out.told = true;

    // Would a tilt of the whole ground explain them better?
    Fit tilted;
    if (out.degrees_of_freedom >= 3) {
        tilted = calibrator.fit(true, &fit.at);
        if (std::isfinite(tilted.chi_square) && tilted.regular) out.tilt = tilt_of(tilted, fit.chi_square - tilted.chi_square);
    }
    const bool by_tilt = out.tilt && out.tilt->p_value < options.significance;
    out.agrees = out.p_value >= options.significance && !by_tilt;

    // The word.
    const std::string figure = fmt::format("chi-square {:.1f} for {} degrees of freedom", out.chi_square, out.degrees_of_freedom);
    const std::string speed = speed_with_error(out.speed_ft, out.sigma_ft, "+/-");
    if (out.degrees_of_freedom == 0) {
        out.sentence = "a green speed of " + speed + "; there is no roll to spare that would check it";
    } else if (out.agrees) {
        out.sentence = fmt::format("this surface and a green speed of {} explain the {} rolls ({})", speed, n, figure);
    } else if (by_tilt) {
        const bool enough = chi_square_tail(tilted.chi_square, out.degrees_of_freedom - 2) >= options.significance;
        out.sentence = fmt::format("model and green disagree ({}, {:.1f} with a tilt): ground that falls {:.2f} +/- {:.2f} % more towards {:.0f} "
                                   "degrees would explain {}, at {:.2f} ft; check the levels of the survey",
                                   figure, tilted.chi_square, percent(out.tilt->slope), kZ90 * percent(out.tilt->slope_se),
                                   out.tilt->falls_to_bearing_deg, enough ? "the rolls" : "a part of it", out.tilt->speed_ft);
    } else if (std::max(std::abs(z_along), std::abs(z_across)) > 3) {
        const bool along = std::abs(z_along) > std::abs(z_across);
        out.sentence = fmt::format("model and green disagree ({}): the balls rest {:.2f} m {} of where the model has them on "
                                   "average; check {}",
                                   figure, std::abs(along ? out.mean_along_m : out.mean_across_m),
                                   along ? (out.mean_along_m > 0 ? "beyond" : "short") : (out.mean_across_m > 0 ? "right" : "left"),
                                   along ? "the launch speeds" : "the start lines");
    } else {
        out.sentence = fmt::format("model and green disagree ({}) without a pattern that a tilt would explain: check the notes, "
                                   "the stated errors, or roll again", figure);
    }
    if (out.speed_ft < kSlowestGreenFt || out.speed_ft > kFastestGreenFt)
        out.sentence += fmt::format("; {:g} to {:g} ft is the range that the program takes", kSlowestGreenFt, kFastestGreenFt);
    return out;
}

}  // namespace brae
