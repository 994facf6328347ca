#include "core/teach/outcome_strips.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr double kSideBlurM = 0.02;
constexpr int kPushSteps = 240;      // of the whole table, for inequalities
constexpr double kTurnStep = 0.0055; // rad; well under any spread of direction that the prior allows

double phi(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }
double push_at(double k, int steps) {
    return StationResponse::kSoftest + (StationResponse::kHardest - StationResponse::kSoftest) * k / steps;
}

// Does the hole take it, by the strips of the holing window?
bool holes(const StationResponse& s, double turn, double push) {
    for (const HolingStrip& h : s.holing())
        if (std::abs(turn - h.turn) <= 0.5 * h.dx && push >= h.low && push <= h.high) return true;
    return false;
}

// How well a launch agrees with the words for how it ended, 0 to 1.
double agreement(const StationResponse& s, const ResponseAt& r, PuttOutcome outcome) {
    const double reached = phi(r.stop.x / kSideBlurM), right = phi(r.crossing_m / kSideBlurM);
    switch (outcome) {
        case PuttOutcome::short_of: return 1 - reached;
        case PuttOutcome::passed_right: return reached * right;
        case PuttOutcome::passed_left: return reached * (1 - right);
        // On a straight putt there is no high side: it passed, no more.
        case PuttOutcome::passed_high: return s.straight() ? reached : reached * (s.high_is_right() ? right : 1 - right);
        case PuttOutcome::passed_low: return s.straight() ? reached : reached * (s.high_is_right() ? 1 - right : right);
        default: return 1;
    }
}

OutcomeStrips holed(const StationResponse& s) {
    OutcomeStrips out;
    for (const HolingStrip& h : s.holing()) out.strips.push_back({h.turn, std::log(h.dx), false, h.low, h.high});
    out.no_launch = out.strips.empty();
    return out;
}

// The runs of push, for turns all over the table, in which `is` holds; the ends half-way between steps.
template <class Is>
OutcomeStrips by_class(double from, double to, double step, Is is) {
    OutcomeStrips out;
    const int turns = std::max(8, static_cast<int>(std::ceil((to - from) / step)));
    const double dx = (to - from) / turns;
    for (int i = 0; i < turns; ++i) {
        const double turn = from + (i + 0.5) * dx;
        for (int k = 0; k <= kPushSteps; ++k) {
            if (!is(turn, push_at(k, kPushSteps))) continue;
            const int first = k;
            while (k < kPushSteps && is(turn, push_at(k + 1, kPushSteps))) ++k;
            // Beyond the ends of the table it goes on as at the end.
            out.strips.push_back({turn, std::log(dx), false, first == 0 ? -10 : push_at(first - 0.5, kPushSteps),
                                  k == kPushSteps ? 10 : push_at(k + 0.5, kPushSteps)});
        }
    }
    out.no_launch = out.strips.empty();
    return out;
}

OutcomeStrips lipped(const StationResponse& s) {
    double widest = 1.2 * std::atan2(kHoleRadius, s.distance_m());
    for (const HolingStrip& h : s.holing()) widest = std::max(widest, std::abs(h.turn) + h.dx);
    widest = std::min(2 * widest, s.turn_limit());
    return by_class(-widest, widest, widest / 16, [&](double turn, double push) {
        const ResponseAt r = s.at(turn, push);
        return r.stop.x > -kHoleRadius && std::abs(r.crossing_m) < kHoleRadius && !holes(s, turn, push);
    });
}

// By the place of rest: where in the table it is likely at all, then ten strips over that box (0.9 sigma apart: a sum
// of normals so spaced is a normal to 1e-9), and in each the mean
// and sigma in push.
OutcomeStrips rested(const StationResponse& s, const SeenPutt& putt) {
    OutcomeStrips out;
    out.from_stop = true;
    const HoleLine& line = s.line();
    const Vec2 seen{line.beyond(putt.stop->p), line.offset(putt.stop->p)};
    const double sigma = putt.stop->sigma_m.value_or(stop_sigma(putt.stop->source, distance(putt.stop->p, s.station().hole)));
    const auto log_like = [&](double turn, double push) {
        const ResponseAt r = s.at(turn, push);
        const double d = norm(r.stop - seen) / sigma, side = agreement(s, r, putt.outcome) * r.on_green;
        return side > 1e-12 ? -0.5 * d * d + std::log(side) : -1e9;
    };

    // Coarse search, then a box that shrinks round what is likely.
    double x0 = -s.turn_limit(), x1 = s.turn_limit(), y0 = StationResponse::kSoftest, y1 = StationResponse::kHardest;
    for (int pass = 0; pass < 4; ++pass) {
        const int nx = pass == 0 ? 88 : 24, ny = pass == 0 ? 96 : 24;
        std::vector<double> like(static_cast<std::size_t>((nx + 1) * (ny + 1)));
        double best = -1e300;
        for (int i = 0; i <= nx; ++i)
            for (int j = 0; j <= ny; ++j) {
                const double l = log_like(x0 + (x1 - x0) * i / nx, y0 + (y1 - y0) * j / ny);
                like[static_cast<std::size_t>(i * (ny + 1) + j)] = l;
                best = std::max(best, l);
            }
        if (best < -1e8) {
            out.no_launch = true;
            return out;
        }
        // A coarse step may be wide against the noise: allow for what lies between the nodes.
        const double keep = best - (pass == 0 ? 40 : 9.5);
        int ia = nx, ib = 0, ja = ny, jb = 0;
        for (int i = 0; i <= nx; ++i)
            for (int j = 0; j <= ny; ++j)
                if (like[static_cast<std::size_t>(i * (ny + 1) + j)] > keep)
                    ia = std::min(ia, i), ib = std::max(ib, i), ja = std::min(ja, j), jb = std::max(jb, j);
        const double dx = (x1 - x0) / nx, dy = (y1 - y0) / ny, xs = x0, ys = y0;
        x0 = std::max(x0, xs + (ia - 1) * dx), x1 = std::min(x1, xs + (ib + 1) * dx);
        y0 = std::max(y0, ys + (ja - 1) * dy), y1 = std::min(y1, ys + (jb + 1) * dy);
    }

    constexpr int kAcross = 10, kAlong = 48;
    const double dx = (x1 - x0) / kAcross, dy = (y1 - y0) / kAlong;
    double best = -1e300, sum = 0, mean = 0, square = 0;
    std::vector<double> l(kAlong);
    for (int i = 0; i < kAcross; ++i) {
        const double turn = x0 + (i + 0.5) * dx;
        double top = -1e300, w = 0, m = 0, q = 0;
        for (int j = 0; j < kAlong; ++j) top = std::max(top, l[static_cast<std::size_t>(j)] = log_like(turn, y0 + (j + 0.5) * dy));
        for (int j = 0; j < kAlong; ++j) {
            const double f = std::exp(l[static_cast<std::size_t>(j)] - top), y = y0 + (j + 0.5) * dy;
            w += f, m += f * y, q += f * y * y;
        }
        m /= w, q = std::max(q / w - m * m, dy * dy / 12);
        out.strips.push_back({turn, top + std::log(w * dy * dx), true, m, std::sqrt(q)});
        best = std::max(best, out.strips.back().log_weight);
    }
    std::erase_if(out.strips, [&](const LikelihoodStrip& k) { return k.log_weight < best - 9; });
    for (const LikelihoodStrip& k : out.strips) {
        const double w = std::exp(k.log_weight - best);
        sum += w, mean += w * k.turn, square += w * k.turn * k.turn;
    }
    out.noise_turn = std::sqrt(std::max(0.0, square / sum - mean * mean / (sum * sum)));
    // A launch that ends over 5 sigma away is no explanation; the box's edge would be taken for one.
    out.no_launch = best - std::log(dx * dy) < -20;
    if (out.no_launch) out.strips.clear();
    return out;
}

}  // namespace

OutcomeStrips outcome_strips(const StationResponse& s, PuttOutcome outcome) {
    switch (outcome) {
        case PuttOutcome::holed: return holed(s);
        case PuttOutcome::lip_out: return lipped(s);
        case PuttOutcome::off_green:
            return by_class(-s.turn_limit(), s.turn_limit(), kTurnStep, [&](double turn, double push) { return s.at(turn, push).on_green < 0.5; });
        default: break;
    }
    return by_class(-s.turn_limit(), s.turn_limit(), kTurnStep, [&](double turn, double push) {
        const ResponseAt r = s.at(turn, push);
        return r.on_green >= 0.5 && agreement(s, r, outcome) >= 0.5 && !holes(s, turn, push);
    });
}

OutcomeStrips outcome_strips(const StationResponse& s, const SeenPutt& putt) {
    const bool rests = putt.outcome != PuttOutcome::holed && putt.outcome != PuttOutcome::lip_out && putt.outcome != PuttOutcome::off_green;
    return putt.stop && rests ? rested(s, putt) : outcome_strips(s, putt.outcome);
}

}  // namespace brae
