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

// Golden section within `reach` decades of the best of a scan, to `width` decades.
template <class At>
SmoothingChoice golden_section(const At& at, const SmoothingChoice& best, double decade, double reach, double width) {
    double low = std::max(kLeastDecade, decade - reach), high = std::min(kMostDecade, decade + reach);
    const double golden = 0.6180339887498949;
    double a = high - golden * (high - low), b = low + golden * (high - low);
    SmoothingChoice fa = at(a), fb = at(b);
    while (high - low > width) {
        if (fa.criterion <= fb.criterion) {
            high = b, b = a, fb = fa;
            a = high - golden * (high - low), fa = at(a);
        } else {
            low = a, a = b, fa = fb;
            b = low + golden * (high - low), fb = at(b);
        }
    }
    const SmoothingChoice& inner = fa.criterion <= fb.criterion ? fa : fb;
    return inner.criterion < best.criterion ? inner : best;
}

}  // namespace

double least_smoothing(const NormalEquations& eq, const StencilMatrix& penalty) {
    return std::pow(10.0, kLeastDecade) * ratio_of_traces(eq, penalty);
}

SmoothingChoice at_smoothing(const NormalEquations& eq, const StencilMatrix& penalty, double lambda,
                             const NoiseKnowledge& noise, const std::function<void()>& tick) {
    const BandCholesky factor(eq.matrix, lambda, &penalty, tick);
    const std::vector<double> c = factor.solve(eq.rhs);

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
    return out;
}

SmoothingChoice choose_smoothing(const NormalEquations& eq, const StencilMatrix& penalty, const NoiseKnowledge& noise,
                                 const std::function<void()>& tick) {
    const double unit = ratio_of_traces(eq, penalty);
    const auto at = [&](double decade) {
        return at_smoothing(eq, penalty, unit * std::pow(10.0, decade), noise, tick);
    };

    // Scan in steps of two decades; the least value wins, the smoother one on a tie.
    double best_decade = kMostDecade;
    SmoothingChoice best = at(best_decade);
    for (double d = kMostDecade - 2; d >= kLeastDecade - 1e-9; d -= 2) {
        const SmoothingChoice here = at(d);
        if (here.criterion < best.criterion) best = here, best_decade = d;
    }

    return golden_section(at, best, best_decade, 2, 0.03);
}

SmoothingChoice less_smoothing(const NormalEquations& eq, const StencilMatrix& penalty, double lambda,
                               const NoiseKnowledge& noise, const std::function<void()>& tick) {
    const double unit = ratio_of_traces(eq, penalty);
    const auto at = [&](double decade) {
        return at_smoothing(eq, penalty, unit * std::pow(10.0, decade), noise, tick);
    };

    // Down by decades while the criterion falls, then once between the neighbours.
    double decade = std::clamp(std::log10(lambda / unit), kLeastDecade, kMostDecade);
    SmoothingChoice best = at(decade);
    while (decade - 1 >= kLeastDecade) {
        const SmoothingChoice lower = at(decade - 1);
        if (!(lower.criterion < best.criterion)) break;
        best = lower, decade -= 1;
    }
    return golden_section(at, best, decade, 1, 0.2);
}

}  // namespace brae
