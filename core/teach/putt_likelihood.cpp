#include "core/teach/putt_likelihood.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr double kRoot2 = 1.4142135623730951, kLogRoot2Pi = 0.9189385332046727;
double density(double z) { return 0.3989422804014327 * std::exp(-0.5 * z * z); }

// ln of the normal probability between a and b (a < b), and its derivatives; far tails by the density.
struct Band { double log_p = 0, by_a = 0, by_b = 0; };
Band band(double a, double b) {
    // Mirrored so that the difference is one of small tails.
    if (a + b < 0) {
        const Band m = band(-b, -a);
        return {m.log_p, -m.by_b, -m.by_a};
    }
    const double p = 0.5 * (std::erfc(a / kRoot2) - std::erfc(b / kRoot2));
    if (p > 1e-280) return {std::log(p), -density(a) / p, density(b) / p};
    // Mills' ratio: the tail beyond a is about density(a) / a.
    return {-0.5 * a * a - kLogRoot2Pi - std::log(a + 1 / a), -(a + 1 / a), 0};
}

// A band seen through a blur: which of left, between, right of +-half a normal of this mean and variance lies in.
struct Seen { double log_p = 0, by_mean = 0, by_var = 0; };
Seen seen_band(int side, double half, double mean, double var) {
    const double s = std::sqrt(var);
    const double low = side < 0 ? -1e6 : side == 0 ? -half : half, high = side < 0 ? -half : side == 0 ? half : 1e6;
    const double a = (low - mean) / s, b = (high - mean) / s;
    const Band p = band(a, b);
    return {p.log_p, -(p.by_a + p.by_b) / s, -0.5 * (p.by_a * (std::abs(a) < 1e4 ? a : 0) + p.by_b * (std::abs(b) < 1e4 ? b : 0)) / var};
}

struct Term { double log_p = 0; LikelihoodGradient g; };

Term term_of(const LikelihoodStrip& k, const PuttEvidence& seen, const LaunchLaw& law, const DirectionLaw& d) {
    Term t;
    // Turn.
    const double off = k.turn - law.turn, v = law.turn_var;
    t.log_p = k.log_weight - 0.5 * std::log(v) - kLogRoot2Pi - off * off / (2 * v);
    t.g.turn = off / v;
    t.g.turn_var = -0.5 / v + off * off / (2 * v * v);

    // Push.
    const double pv = law.push_var + (k.normal ? k.high * k.high : 0);
    if (k.normal) {
        const double p = k.low - law.push;
        t.log_p += -0.5 * std::log(pv) - kLogRoot2Pi - p * p / (2 * pv);
        t.g.push = p / pv;
        t.g.push_var = -0.5 / pv + p * p / (2 * pv * pv);
    } else {
        const double s = std::sqrt(pv), a = (k.low - law.push) / s, b = (k.high - law.push) / s;
        const Band p = band(a, b);
        t.log_p += p.log_p;
        t.g.push = -(p.by_a + p.by_b) / s;
        t.g.push_var = -0.5 * (p.by_a * a + p.by_b * b) / pv;
    }

    // Aim at address, given this turn.
    if (seen.aim) {
        const double share = d.aim_var / v, mean = d.aim_bias + share * off;
        const double var = d.aim_var * (1 - share) + seen.aim_sigma * seen.aim_sigma;
        const int side = *seen.aim == SeenAim::left ? -1 : *seen.aim == SeenAim::on ? 0 : 1;
        const Seen s = seen_band(side, kOnLine, mean, var);
        t.log_p += s.log_p;
        const double by_share = s.by_mean * off - s.by_var * d.aim_var;
        t.g.aim_bias += s.by_mean;
        t.g.turn -= s.by_mean * share;
        t.g.aim_var += s.by_var * (1 - share) + by_share / v;
        t.g.turn_var -= by_share * share / v;
    }
    // Gate: it stands still while the true aim shifts.
    if (seen.gate) {
        const int side = *seen.gate == GateSide::left ? -1 : *seen.gate == GateSide::middle ? 0 : 1;
        const Seen s = seen_band(side, kGateHalf, k.turn + d.aim_shift - seen.gate_turn, kGateBlur * kGateBlur);
        t.log_p += s.log_p;
        t.g.aim_shift += s.by_mean;
    }
    return t;
}

}  // namespace

double log_likelihood(const PuttEvidence& seen, const LaunchLaw& law, const DirectionLaw& d, LikelihoodGradient* gradient,
                      std::vector<double>* shares) {
    const std::size_t n = seen.outcome.strips.size();
    if (shares) shares->assign(n, 0);
    if (gradient) *gradient = {};
    if (n == 0) return 0;
    // Sums of exponentials against the largest, kept as it grows.
    double top = -1e300, sum = 0;
    LikelihoodGradient g;
    for (std::size_t i = 0; i < n; ++i) {
        const Term t = term_of(seen.outcome.strips[i], seen, law, d);
        if (shares) (*shares)[i] = t.log_p;
        double w = 1;
        if (t.log_p > top) {
            const double shrink = std::exp(top - t.log_p);
            top = t.log_p;
            sum *= shrink;
            g = {g.turn * shrink, g.turn_var * shrink, g.push * shrink, g.push_var * shrink, g.aim_bias * shrink, g.aim_var * shrink, g.aim_shift * shrink};
        } else {
            w = std::exp(t.log_p - top);
        }
        sum += w;
        g.turn += w * t.g.turn, g.turn_var += w * t.g.turn_var, g.push += w * t.g.push, g.push_var += w * t.g.push_var;
        g.aim_bias += w * t.g.aim_bias, g.aim_var += w * t.g.aim_var, g.aim_shift += w * t.g.aim_shift;
    }
    if (gradient)
        *gradient = {g.turn / sum, g.turn_var / sum, g.push / sum, g.push_var / sum, g.aim_bias / sum, g.aim_var / sum, g.aim_shift / sum};
    if (shares)
        for (double& s : *shares) s = std::exp(s - top) / sum;
    return top + std::log(sum);
}

PushGiven push_given(const LikelihoodStrip& k, const LaunchLaw& law) {
    if (k.normal) {
        const double t = k.high * k.high, v = law.push_var;
        return {(law.push * t + k.low * v) / (t + v), t * v / (t + v)};
    }
    // A normal cut off at both ends.
    const double s = std::sqrt(law.push_var), a = (k.low - law.push) / s, b = (k.high - law.push) / s;
    const Band p = band(a, b);
    const double m = -(p.by_a + p.by_b);
    const double var = 1 - m * m - (p.by_a * a + p.by_b * b);
    return {std::clamp(law.push + s * m, std::min(k.low, k.high), std::max(k.low, k.high)), law.push_var * std::clamp(var, 0.0, 1.0)};
}

PushGiven aim_given(const PuttEvidence& seen, double turn, const LaunchLaw& law, const DirectionLaw& d) {
    const double share = d.aim_var / law.turn_var, mean = d.aim_bias + share * (turn - law.turn), var = d.aim_var * (1 - share);
    if (!seen.aim) return {mean, var};
    // A normal times a blurred band: moments by the derivatives of its logarithm.
    const double blur = seen.aim_sigma * seen.aim_sigma;
    const int side = *seen.aim == SeenAim::left ? -1 : *seen.aim == SeenAim::on ? 0 : 1;
    const Seen s = seen_band(side, kOnLine, mean, var + blur);
    const double second = 2 * s.by_var - s.by_mean * s.by_mean;   // of ln p by the mean: the heat equation
    return {mean + var * s.by_mean, std::max(0.0, var + var * var * second)};
}

double chance_of(const OutcomeStrips& outcome, const LaunchLaw& law) {
    PuttEvidence seen;
    seen.outcome = outcome;
    return outcome.strips.empty() ? 0 : std::min(1.0, std::exp(log_likelihood(seen, law, {})));
}

}  // namespace brae
