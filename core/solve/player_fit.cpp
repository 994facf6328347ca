#include "core/solve/player_fit.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/solve/golden_section.h"
#include "core/solve/level_chance.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <fmt/format.h>

namespace brae {

namespace {

void check(const std::vector<MakeRow>& rows) {
    if (rows.empty()) throw usage_error("there are no putts to fit; at least one row is wanted");
    long tries = 0, made = 0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const MakeRow& r = rows[i];
        if (!(r.distance_m > 0 && r.distance_m <= 100 && r.tries > 0 && r.made >= 0 && r.made <= r.tries))
            throw usage_error(fmt::format("row {} says {} made of {} at {} m; made within tries and 0 to 100 m are wanted",
                                          i + 1, r.made, r.tries, r.distance_m));
        tries += r.tries;
        made += r.made;
    }
    if (made == 0 || made == tries)
        throw usage_error(fmt::format("{} of {} putts were made; some made and some missed are wanted", made, tries));
}

double log_likelihood(const std::vector<MakeRow>& rows, const std::function<double(std::size_t)>& chance) {
    double sum = 0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const double p = std::clamp(chance(i), 1e-300, 1 - 1e-16);
        sum += rows[i].made * std::log(p) + (rows[i].tries - rows[i].made) * std::log1p(-p);
    }
    return sum;
}

FitMisfit misfit_of(const std::vector<MakeRow>& rows, const std::function<double(std::size_t)>& chance, const char* criterion) {
    FitMisfit out;
    out.criterion = criterion;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const double p = chance(i), residual = double(rows[i].made) / rows[i].tries - p;
        out.predicted.push_back(p);
        if (std::abs(residual) > std::abs(out.largest_residual)) {
            out.largest_residual = residual;
            out.largest_at_m = rows[i].distance_m;
        }
        out.chi_square += residual * residual * rows[i].tries / std::max(p * (1 - p), 1e-12);
    }
    out.log_likelihood = log_likelihood(rows, chance);
    return out;
}

using Pair = std::array<double, 2>;
struct Vertex { Pair x; double f; };

// Nelder and Mead, Computer Journal 7:308-313, 1965, with the usual coefficients 1, 2, 1/2, 1/2.
Pair simplex_minimum(const std::function<double(Pair)>& f, Pair start, double size, double tolerance, int most) {
    std::array<Vertex, 3> s;
    for (int i = 0; i < 3; ++i) {
        Pair x = start;
        if (i > 0) x[i - 1] += size;
        s[i] = {x, f(x)};
    }
    const auto by_value = [](const Vertex& a, const Vertex& b) { return a.f < b.f; };
    for (int n = 0; n < most; ++n) {
        std::sort(s.begin(), s.end(), by_value);
        const double wide = std::max({std::abs(s[2].x[0] - s[0].x[0]), std::abs(s[2].x[1] - s[0].x[1]),
                                      std::abs(s[1].x[0] - s[0].x[0]), std::abs(s[1].x[1] - s[0].x[1])});
        if (wide < tolerance) break;
        const Pair centre{0.5 * (s[0].x[0] + s[1].x[0]), 0.5 * (s[0].x[1] + s[1].x[1])};
        const auto along = [&](double t) {
            const Pair x{centre[0] + t * (s[2].x[0] - centre[0]), centre[1] + t * (s[2].x[1] - centre[1])};
            return Vertex{x, f(x)};
        };
        const Vertex reflected = along(-1);
        if (reflected.f < s[0].f) {
            const Vertex farther = along(-2);
            s[2] = farther.f < reflected.f ? farther : reflected;
        } else if (reflected.f < s[1].f) {
            s[2] = reflected;
        } else {
            const Vertex inner = along(reflected.f < s[2].f ? -0.5 : 0.5);
            if (inner.f < std::min(reflected.f, s[2].f)) {
                s[2] = inner;
            } else {
                for (int i = 1; i < 3; ++i) {
                    for (int k = 0; k < 2; ++k) s[i].x[k] = 0.5 * (s[i].x[k] + s[0].x[k]);
                    s[i].f = f(s[i].x);
                }
            }
        }
    }
    std::sort(s.begin(), s.end(), by_value);
    return s[0].x;
}

constexpr double kLeastLaunch = 1e-4, kMostLaunch = 0.25;

}  // namespace

HalfWidthFit fit_half_width(const std::vector<MakeRow>& rows) {
    check(rows);
    const auto with = [](double log_sigma) { return HalfWidthSpread{StartLineSigma<HalfWidthCriterion>(std::exp(log_sigma))}; };
    const auto minus = [&](double x) {
        return -log_likelihood(rows, [&](std::size_t i) { return level_chance(rows[i].distance_m, with(x)); });
    };
    const double best = golden_section(minus, std::log(1e-4), std::log(0.5), 1e-9);
    HalfWidthFit out;
    out.spread = with(best);
    // Standard error by the curvature of the likelihood.
    const double h = 1e-3, curvature = (minus(best + h) - 2 * minus(best) + minus(best - h)) / (h * h);
    out.start_line_se_rad = curvature > 0 ? out.spread.start_line.rad / std::sqrt(curvature) : 0;
    out.misfit = misfit_of(rows, [&](std::size_t i) { return level_chance(rows[i].distance_m, out.spread); },
                           HalfWidthCriterion::name);
    return out;
}

template <CaptureModel Model>
MechanicsFit<Model> fit_mechanics(const std::vector<MakeRow>& rows, const LevelAssumptions& assumed) {
    check(rows);
    MechanicsFit<Model> out;
    out.assumed = assumed;
    std::vector<LevelPutt> putts;
    for (const MakeRow& r : rows) putts.emplace_back(r.distance_m, assumed.green_speed_ft, assumed.past_m, Model);
    const auto with = [](Pair x) {
        MechanicsSpread<Model> s;
        s.start_line = StartLineSigma<HoleMechanics<Model>>(std::clamp(std::exp(x[0]), 1e-4, 0.5));
        s.launch_sigma_rel = std::clamp(std::exp(x[1]), kLeastLaunch, kMostLaunch);
        return s;
    };
    const auto minus = [&](Pair x) {
        ++out.evaluations;
        const MechanicsSpread<Model> s = with(x);
        return -log_likelihood(rows, [&](std::size_t i) { return putts[i].chance(s); });
    };
    // From several starts, since the likelihood can have more than one top; the best once more from afresh.
    struct Top { Pair x; double f; };
    std::vector<Top> tops;
    for (double line : {0.006, 0.013, 0.027})
        for (double launch : {0.02, 0.05, 0.12}) {
            const Pair x = simplex_minimum(minus, simplex_minimum(minus, {std::log(line), std::log(launch)}, 0.3, 1e-4, 200), 0.05, 1e-7, 400);
            tops.push_back({x, minus(x)});
        }
    std::sort(tops.begin(), tops.end(), [](const Top& p, const Top& q) { return p.f < q.f; });
    const Pair best = tops[0].x;
    out.spread = with(best);
    // The next best top that is another one.
    for (const Top& t : tops)
        if (std::hypot(t.x[0] - best[0], t.x[1] - best[1]) > 0.05) {
            out.other = with(t.x);
            out.other_log_likelihood = -t.f;
            break;
        }

    // Covariance of the logarithms from the curvature of the likelihood.
    const double h = 1e-3, f = minus(best);
    const auto at = [&](double i, double k) { return minus({best[0] + i * h, best[1] + k * h}); };
    const double a = (at(1, 0) - 2 * f + at(-1, 0)) / (h * h), c = (at(0, 1) - 2 * f + at(0, -1)) / (h * h);
    const double b = (at(1, 1) - at(1, -1) - at(-1, 1) + at(-1, -1)) / (4 * h * h), det = a * c - b * b;
    if (a > 0 && c > 0 && det > 0) {
        out.start_line_se_rad = out.spread.start_line.rad * std::sqrt(c / det);
        out.launch_se_rel = out.spread.launch_sigma_rel * std::sqrt(a / det);
        out.correlation = -b / std::sqrt(a * c);
    }
    out.misfit = misfit_of(rows, [&](std::size_t i) { return putts[i].chance(out.spread); }, HoleMechanics<Model>::name);
    return out;
}

template MechanicsFit<CaptureModel::rim> fit_mechanics(const std::vector<MakeRow>&, const LevelAssumptions&);
template MechanicsFit<CaptureModel::free_fall> fit_mechanics(const std::vector<MakeRow>&, const LevelAssumptions&);

}  // namespace brae
