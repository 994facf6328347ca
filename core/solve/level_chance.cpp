#include "core/solve/level_chance.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/roll/capture.h"
#include "core/roll/capture_table.h"
#include "core/roll/green_speed.h"
#include "core/solve/quadrature.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

// Table of distances, evenly in the logarithm.
constexpr int kTableSize = 96;
constexpr double kNearest = 0.06, kFarthest = 30;
double table_distance(int i) { return kNearest * std::pow(kFarthest / kNearest, double(i) / (kTableSize - 1)); }

constexpr double kReach = 6;       // sigmas that an integral covers

// Fastest speed at the closest approach at which a level hole takes a ball that passes at this offset; 0 where only a
// ball at rest is taken. The rim's limit is that at the near rim; the green slows the ball from there on.
double fastest_captured(CaptureModel model, double offset, double level_decel) {
    if (model == CaptureModel::free_fall) return free_fall_capture_speed(offset);
    const double v = tabled_capture_limit(offset, 0, 0).all_drop_mps, inside = kHoleRadius * kHoleRadius - offset * offset;
    return std::sqrt(std::max(0.0, v * v - 2 * level_decel * std::sqrt(std::max(0.0, inside))));
}

// Offsets between which the limit is smooth, from the centre out: where free fall ends, or the nodes of the rim's table.
std::vector<double> smooth_offsets(CaptureModel model) {
    if (model == CaptureModel::free_fall) return {0, kHoleRadius - kBallRadius, kHoleRadius};
    std::vector<double> out;
    for (int k = CaptureGrid::kOffsets; k >= 0; --k) {
        const double u = double(k) / CaptureGrid::kOffsets;
        out.push_back(kHoleRadius * (1 - u * u));
    }
    return out;
}

}  // namespace

double level_chance(double distance_m, const HalfWidthSpread& spread) {
    if (!(distance_m > 0 && distance_m <= 100))
        throw usage_error(fmt::format("the putt is {} m long; 0 to 100 m are wanted", distance_m));
    if (!(spread.start_line.rad > 0)) throw usage_error(fmt::format("the spread is {} rad; more than 0 is wanted", spread.start_line.rad));
    const double half = kHoleRadius - kBallRadius;
    if (distance_m <= half) return 1;
    return std::erf(std::asin(half / distance_m) / spread.start_line.rad / std::sqrt(2.0));
}

LevelPutt::LevelPutt(double distance_m, double green_speed_ft, double past_m, CaptureModel capture)
    : capture_(capture), distance_(distance_m), decel_(level_deceleration(green_speed_ft)) {
    if (!(distance_m > 0 && distance_m <= 100))
        throw usage_error(fmt::format("the putt is {} m long; 0 to 100 m are wanted", distance_m));
    if (!(past_m >= 0 && past_m <= 5))
        throw usage_error(fmt::format("the pace is {} m past the hole; 0 to 5 m are wanted", past_m));
    meant_ = std::sqrt(2 * decel_ * (distance_m + past_m));
    widest_ = distance_ > kHoleRadius ? std::asin(kHoleRadius / distance_) : kPi / 2;

    // Panels between the offsets where the rule of the hole changes; towards the rim, and at the last offset of free fall,
    // the limits go like square roots: there u = sin s gathers nodes at the ends.
    const auto gathered = [&](double from, double to, const auto& rule) {
        for (std::size_t i = 0; i < rule.x.size(); ++i) {
            const double s = 0.5 * kPi * rule.x[i];
            const double angle = 0.5 * (from + to) + 0.5 * (to - from) * std::sin(s);
            nodes_.push_back({angle, rule.w[i] * 0.25 * kPi * (to - from) * std::cos(s), limits(angle)});
        }
    };
    const auto plain = [&](double from, double to, const auto& rule) {
        for (std::size_t i = 0; i < rule.x.size(); ++i) {
            const double angle = 0.5 * (from + to) + 0.5 * (to - from) * rule.x[i];
            nodes_.push_back({angle, rule.w[i] * 0.5 * (to - from), limits(angle)});
        }
    };
    // Near putts see the hole wide: pieces of no more than 0.02 rad.
    const auto side = [&](double from, double to, bool last) {
        const int pieces = std::clamp(int(std::ceil((to - from) / 0.02)), 1, 80);
        for (int k = 0; k < pieces; ++k) {
            const double a = from + (to - from) * k / pieces, b = from + (to - from) * (k + 1) / pieces;
            if (capture_ == CaptureModel::free_fall || last) gathered(a, b, gauss_rule<24>());
            else plain(a, b, gauss_rule<4>());
        }
    };
    const auto angle_of = [&](double offset) { return offset < distance_ ? std::min(widest_, std::asin(offset / distance_)) : widest_; };
    const std::vector<double> offsets = smooth_offsets(capture_);
    for (std::size_t k = 1; k < offsets.size(); ++k) {
        const double from = angle_of(offsets[k - 1]), to = angle_of(offsets[k]);
        if (!(to > from)) continue;
        side(from, to, k + 1 == offsets.size());
        side(-to, -from, k + 1 == offsets.size());
    }
}

LevelPutt::Limits LevelPutt::limits(double angle) const {
    const double along = distance_ * std::cos(angle), offset = distance_ * std::abs(std::sin(angle));
    if (offset >= kHoleRadius || along <= 0) return {};
    const double half_chord = std::sqrt(kHoleRadius * kHoleRadius - offset * offset);
    const double pass = fastest_captured(capture_, offset, decel_);
    const double fast2 = 2 * decel_ * along + std::max(2 * decel_ * half_chord, pass * pass);
    return {std::sqrt(std::max(0.0, 2 * decel_ * (along - half_chord))), std::sqrt(fast2)};
}

double LevelPutt::chance_of(const LaunchErrors& errors) const {
    errors.check_model(capture_);
    const double turn = errors.turn, lean = errors.lean;
    const double mean = meant_ * (1 + errors.bias_rel), push = meant_ * errors.push_rel;
    double sum = 0;
    for (const Node& n : nodes_) {
        const double z = (n.angle - lean) / turn;
        if (std::abs(z) > 9) continue;
        sum += n.weight * normal_density(z) / turn * normal_between((n.limits.slow - mean) / push, (n.limits.fast - mean) / push);
    }
    return std::min(1.0, sum);
}

LevelPlayer::LevelPlayer(const LaunchErrors& errors, double green_speed_ft, double past_m) {
    std::vector<LevelPutt> putts;
    for (int i = 0; i < kTableSize; ++i) {
        putts.emplace_back(table_distance(i), green_speed_ft, past_m, errors.capture);
        one_.push_back(putts.back().chance_of(errors));
    }
    // Two putts: the mean of the next one's chance over where the missed balls lie, short and long taken apart.
    const double turn = errors.turn, lean = errors.lean;
    const auto &angles = gauss_rule<8>(), &speeds = gauss_rule<8>();
    for (int i = 0; i < kTableSize; ++i) {
        const LevelPutt& putt = putts[i];
        const double x = putt.distance_m(), mean = putt.meant_mps() * (1 + errors.bias_rel);
        const double push = putt.meant_mps() * errors.push_rel;
        double weight = 0, holed = 0;
        const auto part = [&](double angle, double w, double from, double to) {
            if (!(to > from)) return;
            for (std::size_t k = 0; k < speeds.x.size(); ++k) {
                const double v = 0.5 * (from + to) + 0.5 * (to - from) * speeds.x[k];
                const double run = v * v / (2 * putt.level_decel());
                const double leave = std::sqrt(std::max(0.0, run * run + x * x - 2 * run * x * std::cos(angle)));
                const double share = w * speeds.w[k] * 0.5 * (to - from) * normal_density((v - mean) / push) / push;
                weight += share;
                holed += share * within_one(leave);
            }
        };
        const double low = std::max(0.0, mean - kReach * push), high = mean + kReach * push;
        std::vector<double> cuts{lean - kReach * turn, lean - turn, lean, lean + turn, lean + kReach * turn};
        for (const double edge : {-putt.widest(), putt.widest()})
            if (edge > cuts.front() && edge < cuts[4]) cuts.push_back(edge);
        std::sort(cuts.begin(), cuts.end());
        for (std::size_t c = 1; c < cuts.size(); ++c)
            for (std::size_t k = 0; k < angles.x.size(); ++k) {
                const double half = 0.5 * (cuts[c] - cuts[c - 1]), angle = 0.5 * (cuts[c] + cuts[c - 1]) + half * angles.x[k];
                const double w = half * angles.w[k] * normal_density((angle - lean) / turn) / turn;
                const LevelPutt::Limits hole = putt.limits(angle);
                const double middle = std::clamp(mean, low, high);
                const double slow = hole.fast > 0 ? hole.slow : middle, fast = hole.fast > 0 ? hole.fast : middle;
                part(angle, w, low, std::min(slow, high));
                part(angle, w, std::max(fast, low), high);
            }
        two_.push_back(weight > 0 ? one_[i] + (1 - one_[i]) * holed / weight : 1.0);
    }
}

double LevelPlayer::look_up(const std::vector<double>& table, double distance_m) const {
    const double x = std::clamp(distance_m, kNearest, kFarthest);
    const double at = std::log(x / kNearest) / std::log(kFarthest / kNearest) * (kTableSize - 1);
    const int i = std::clamp(int(at), 0, kTableSize - 2);
    return table[i] + (at - i) * (table[i + 1] - table[i]);
}

}  // namespace brae
