#include "core/terrain/smoothing_choice.h"

#include "core/terrain/band_cholesky.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

// Decades of lambda, relative to the ratio of the traces of data and penalty, that are searched.
constexpr double kLeastDecade = -9, kMostDecade = 9;
// Spread of the prior of the noise, as a standard deviation of its natural logarithm: a factor of two.
constexpr double kPriorSpread = 0.7;

double ratio_of_traces(const NormalEquations& eq, const StencilMatrix& penalty) {
    return eq.matrix.trace() / penalty.trace();
}

// Noise that minimises dof log s^2 + misfit / s^2 + ((log s - log prior) / spread)^2.
double best_noise(double misfit, double dof, const NoiseKnowledge& noise) {
    const double plain = std::sqrt(misfit / dof);
    if (!noise.prior_m || !(plain > 0)) return plain;
    // Newton in t = log s; the function is convex.
    const double centre = std::log(*noise.prior_m), stiff = 1 / (kPriorSpread * kPriorSpread);
    double t = std::log(plain);
    for (int k = 0; k < 50; ++k) {
        const double e = misfit * std::exp(-2 * t);
        const double slope = 2 * dof - 2 * e + 2 * stiff * (t - centre), bend = 4 * e + 2 * stiff;
        const double step = std::clamp(slope / bend, -0.5, 0.5);
        t -= step;
        if (std::abs(step) < 1e-10) break;
    }
    return std::exp(t);
}

// One value of the criterion and where, in decades.
struct Tried {
    double decade = 0;
    SmoothingChoice choice;
    double value() const { return choice.criterion; }
};

// The minimum between two tries that lie above the one in the middle, to `width` decades: the vertex of the parabola through the
// three, golden sections where that is no progress (after R. P. Brent, Algorithms for Minimization without Derivatives, 1973).
template <class At>
SmoothingChoice in_bracket(const At& at, Tried low, Tried best, Tried high, double width) {
    constexpr double golden = 0.3819660112501051, settled = 1.0;
    for (int round = 0; round < 40 && high.decade - low.decade > width; ++round) {
        const double a = best.decade - low.decade, b = high.decade - best.decade;
        const double up = (high.value() - best.value()) / b, down = (low.value() - best.value()) / a;
        // Vertex from the two slopes; both are at least 0 here.
        double step = up + down > 0 ? 0.5 * (b * down - a * up) / (up + down) : 0;
        if (std::abs(step) <= width && a + b <= settled) break;
        // Into the wider part by a little at least, and not onto an end.
        const bool right = std::abs(step) > 0.02 * (a + b) ? step > 0 : b > a;
        const double room = right ? b : a;
        step = std::clamp(std::abs(step), 0.02 * (a + b), 0.9 * room);
        if (round > 8) step = golden * room;
        Tried next{right ? best.decade + step : best.decade - step, {}};
        next.choice = at(next.decade);
        if (next.value() < best.value()) {
            (right ? low : high) = std::move(best);
            best = std::move(next);
        } else {
            (right ? high : low) = std::move(next);
        }
    }
    return best.choice;
}

// Outward from a start until both neighbours lie above, then within.
template <class At>
SmoothingChoice from_start(const At& at, double decade, double step, double width) {
    const auto tried = [&](double d) { return Tried{d, at(d)}; };
    Tried best = tried(std::clamp(decade, kLeastDecade, kMostDecade));
    Tried low = tried(std::max(best.decade - step, kLeastDecade)), high = tried(std::min(best.decade + step, kMostDecade));
    while (low.value() < best.value() && low.decade > kLeastDecade) {
        step *= 2;
        high = std::move(best), best = std::move(low);
        low = tried(std::max(best.decade - step, kLeastDecade));
    }
    while (high.value() < best.value() && high.decade < kMostDecade) {
        step *= 2;
        low = std::move(best), best = std::move(high);
        high = tried(std::min(best.decade + step, kMostDecade));
    }
    // An end of the range is a minimum too.
    if (low.value() < best.value() || low.decade == best.decade) return low.value() < best.value() ? low.choice : best.choice;
    if (high.value() < best.value() || high.decade == best.decade) return high.value() < best.value() ? high.choice : best.choice;
    return in_bracket(at, std::move(low), std::move(best), std::move(high), width);
}

}  // namespace

double least_smoothing(const NormalEquations& eq, const StencilMatrix& penalty) {
    return std::pow(10.0, kLeastDecade) * ratio_of_traces(eq, penalty);
}

SmoothingChoice at_smoothing(const NormalEquations& eq, const StencilMatrix& penalty, double lambda,
                             const NoiseKnowledge& noise, const std::function<void()>& tick) {
    const BandCholesky factor(eq.matrix, lambda, &penalty, tick);
    std::vector<double> c = factor.solve(eq.rhs);

    // Penalised misfit at the solution: z'Wz - c'A'Wz, kept above what rounding can tell.
    double fitted = 0;
    for (std::size_t k = 0; k < c.size(); ++k) fitted += c[k] * eq.rhs[k];
    const double dof = std::max(1.0, static_cast<double>(eq.count) - kPenaltyNullity);
    const double misfit = std::max({eq.squares - fitted, 1e-15 * eq.squares, 1e-24 * dof});

    SmoothingChoice out;
    out.lambda = lambda;
    out.noise_m = noise.fixed_m ? *noise.fixed_m : best_noise(misfit, dof, noise);
    const double variance = out.noise_m * out.noise_m;
    const double rank = static_cast<double>(c.size()) - kPenaltyNullity;
    out.criterion = dof * std::log(variance) + misfit / variance + factor.log_determinant() - rank * std::log(lambda);
    if (noise.prior_m && !noise.fixed_m) {
        const double off = std::log(out.noise_m / *noise.prior_m) / kPriorSpread;
        out.criterion += off * off;
    }
    out.coefficients = std::move(c);
    return out;
}

SmoothingChoice choose_smoothing(const NormalEquations& eq, const StencilMatrix& penalty, const NoiseKnowledge& noise,
                                 const std::function<void()>& tick, std::optional<double> near) {
    constexpr double width = 0.03;
    const double unit = ratio_of_traces(eq, penalty);
    const auto at = [&](double decade) {
        return at_smoothing(eq, penalty, unit * std::pow(10.0, decade), noise, tick);
    };
    if (near) return from_start(at, std::log10(*near / unit), 0.5, width);

    // Scan in steps of two decades; the least value wins, the smoother one on a tie.
    std::vector<Tried> scan;
    std::size_t best = 0;
    for (double d = kMostDecade; d >= kLeastDecade - 1e-9; d -= 2) {
        scan.push_back({d, at(d)});
        if (scan.back().value() < scan[best].value()) best = scan.size() - 1;
    }
    // At an end of the range a try beside it makes the bracket, or the end itself is the minimum.
    if (best == 0 || best + 1 == scan.size()) {
        const bool smooth = best == 0;
        Tried inner = smooth ? std::move(scan[1]) : std::move(scan[scan.size() - 2]), beside{(scan[best].decade + inner.decade) / 2, {}};
        beside.choice = at(beside.decade);
        if (!(beside.value() < scan[best].value())) return scan[best].choice;
        if (smooth) return in_bracket(at, std::move(inner), std::move(beside), std::move(scan[best]), width);
        return in_bracket(at, std::move(scan[best]), std::move(beside), std::move(inner), width);
    }
    return in_bracket(at, std::move(scan[best + 1]), std::move(scan[best]), std::move(scan[best - 1]), width);
}

SmoothingChoice less_smoothing(const NormalEquations& eq, const StencilMatrix& penalty, double lambda,
                               const NoiseKnowledge& noise, const std::function<void()>& tick) {
    const double unit = ratio_of_traces(eq, penalty);
    const auto at = [&](double decade) {
        return at_smoothing(eq, penalty, unit * std::pow(10.0, decade), noise, tick);
    };

    // Down by decades while the criterion falls, then between the neighbours.
    const double start = std::clamp(std::log10(lambda / unit), kLeastDecade, kMostDecade);
    Tried high{start, {}}, best{start, at(start)};
    while (best.decade - 1 >= kLeastDecade) {
        Tried lower{best.decade - 1, {}};
        lower.choice = at(lower.decade);
        if (lower.value() < best.value()) {
            high = std::move(best), best = std::move(lower);
            continue;
        }
        // From the start itself nothing smoother was tried.
        if (best.decade == start) {
            high = {std::min(start + 1, kMostDecade), {}};
            if (high.decade == start) return best.choice;
            high.choice = at(high.decade);
            if (high.value() < best.value()) return best.choice;
        }
        return in_bracket(at, std::move(lower), std::move(best), std::move(high), 0.2);
    }
    return best.choice;
}

}  // namespace brae
