#include "core/terrain/local_roughness.h"

#include "core/terrain/band_cholesky.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <tbb/parallel_for.h>
#include <tbb/parallel_invoke.h>

namespace brae {

namespace {

constexpr int kRounds = 16;             // the update gains its last percents slowly, and they do not matter
constexpr double kSettled = 0.05;       // mean change of log tau
constexpr double kPriorDof = 1.0;       // degrees of freedom that the mean of all counts in each window
constexpr double kWidest = 1e4;         // bounds of tau_k about the even one
constexpr double kRidge = 1e-10;        // of the penalty, for its null space

// The penalty's 16 x 16 matrix of one patch: integrals over it of products of third derivatives of the sixteen splines.
using PatchMatrix = std::array<std::array<double, 16>, 16>;
PatchMatrix patch_penalty(double cell) {
    static constexpr double node[2] = {0.33998104358485626, 0.86113631159405258};
    static constexpr double weight[2] = {0.65214515486254614, 0.34785484513745386};
    double gram[4][4][4] = {};  // order of derivative, spline, spline
    for (int g = 0; g < 4; ++g) {
        const double t = 0.5 * (1 + (g % 2 ? -1 : 1) * node[g / 2]), w = 0.5 * weight[g / 2];
        const CubicWeights c = cubic_weights(t);
        const double third[4] = {-1, 3, -3, 1};
        const double* f[4] = {c.w, c.d, c.dd, third};
        for (int k = 0; k < 4; ++k)
            for (int r = 0; r < 4; ++r)
                for (int s = 0; s < 4; ++s) gram[k][r][s] += w * f[k][r] * f[k][s];
    }
    static constexpr double binomial[4] = {1, 3, 3, 1};
    PatchMatrix out{};
    for (int m = 0; m < 16; ++m)
        for (int n = 0; n < 16; ++n)
            for (int k = 0; k < 4; ++k)
                out[m][n] += binomial[k] * gram[3 - k][m % 4][n % 4] * gram[k][m / 4][n / 4] * std::pow(cell, -4);
    return out;
}

// Calls f(i, j, x, y) for every patch: its south-west coefficient and its centre.
template <class F>
void for_each_patch(const SplineGrid& layout, F f) {
    for (int j = 0; j + 3 < layout.rows; ++j)
        for (int i = 0; i + 3 < layout.columns; ++i)
            f(i, j, layout.x0 + (i + 1.5) * layout.cell, layout.y0 + (j + 1.5) * layout.cell);
}

// The four nodes about a place and their shares.
struct Corners { std::size_t node[4]; double share[4]; };
Corners corners(const PenaltyWeight& w, double x, double y) {
    const double u = std::clamp((x - w.x0) / w.step, 0.0, w.columns - 1.0), v = std::clamp((y - w.y0) / w.step, 0.0, w.rows - 1.0);
    const int i = std::min(static_cast<int>(u), w.columns - 2), j = std::min(static_cast<int>(v), w.rows - 2);
    const double a = u - i, b = v - j;
    const std::size_t k = static_cast<std::size_t>(j) * w.columns + i;
    return {{k, k + 1, k + w.columns, k + w.columns + 1}, {(1 - a) * (1 - b), a * (1 - b), (1 - a) * b, a * b}};
}

// Trace of the patch's penalty with a symmetric matrix, over one patch.
double patch_trace(const PatchMatrix& p, const StencilMatrix& m, int i, int j) {
    double sum = 0;
    for (int a = 0; a < 16; ++a)
        for (int b = a; b < 16; ++b)
            sum += (a == b ? 1 : 2) * p[a][b] * m.entry(i + a % 4, j + a / 4, b % 4 - a % 4, b / 4 - a / 4);
    return sum;
}

}  // namespace

double PenaltyWeight::at(double x, double y) const {
    if (empty()) return 1;
    const Corners c = corners(*this, x, y);
    double sum = 0;
    for (int k = 0; k < 4; ++k) sum += c.share[k] * nodes[c.node[k]];
    return sum;
}

StencilMatrix weighted_penalty(const SplineGrid& layout, const PenaltyWeight& weight) {
    if (weight.empty()) return third_derivative_penalty(layout);
    StencilMatrix out(layout.columns, layout.rows);
    const PatchMatrix p = patch_penalty(layout.cell);
    for_each_patch(layout, [&](int i, int j, double x, double y) {
        const double w = weight.at(x, y);
        for (int a = 0; a < 16; ++a)
            for (int b = a; b < 16; ++b) out.upper(i + a % 4, j + a / 4, b % 4 - a % 4, b / 4 - a / 4) += w * p[a][b];
    });
    return out;
}

NormalEquations on_wider_knots(const NormalEquations& eq, const SplineGrid& layout, const SplineGrid& wide) {
    static constexpr double kTwoScale[5] = {0.125, 0.5, 0.75, 0.5, 0.125};
    const int i0 = static_cast<int>(std::lround((wide.x0 - layout.x0) / layout.cell)), j0 = static_cast<int>(std::lround((wide.y0 - layout.y0) / layout.cell));
    const auto on_grid = [&](int i, int j) { return i >= 0 && j >= 0 && i < layout.columns && j < layout.rows; };
    NormalEquations out;
    out.matrix = StencilMatrix(wide.columns, wide.rows);
    out.rhs.assign(static_cast<std::size_t>(wide.columns) * wide.rows, 0.0);
    out.squares = eq.squares, out.count = eq.count;
    // Each wide spline is 5 x 5 narrow ones about its own centre, less those beyond the domain, which reach no point.
    tbb::parallel_for(0, wide.rows, [&](int j) {
        for (int i = 0; i < wide.columns; ++i)
            for (int b = -2; b <= 2; ++b)
                for (int a = -2; a <= 2; ++a) {
                    const int x = i0 + 2 * i + a, y = j0 + 2 * j + b;
                    if (!on_grid(x, y)) continue;
                    const double w = kTwoScale[a + 2] * kTwoScale[b + 2];
                    out.rhs[static_cast<std::size_t>(j) * wide.columns + i] += w * eq.rhs[static_cast<std::size_t>(y) * layout.columns + x];
                    for (int dj = 0; dj <= std::min(3, wide.rows - 1 - j); ++dj)
                        for (int di = dj == 0 ? 0 : -std::min(3, i); di <= std::min(3, wide.columns - 1 - i); ++di) {
                            double sum = 0;
                            for (int d = std::max(-2, b - 3 - 2 * dj); d <= std::min(2, b + 3 - 2 * dj); ++d)
                                for (int c = std::max(-2, a - 3 - 2 * di); c <= std::min(2, a + 3 - 2 * di); ++c)
                                    if (on_grid(i0 + 2 * (i + di) + c, j0 + 2 * (j + dj) + d))
                                        sum += kTwoScale[c + 2] * kTwoScale[d + 2] * eq.matrix.entry(x, y, 2 * di + c - a, 2 * dj + d - b);
                            out.matrix.upper(i, j, di, dj) += w * sum;
                        }
                }
    });
    return out;
}

PenaltyWeight local_weight(const SplineGrid& layout, const NormalEquations& eq, const SmoothingChoice& start, const PenaltyWeight& first,
                           double step, const std::function<void()>& tick) {
    // A lattice of windows over the layout's domain.
    PenaltyWeight tau;
    const double width = (layout.columns - 3) * layout.cell, height = (layout.rows - 3) * layout.cell;
    tau.columns = std::max(2, static_cast<int>(std::ceil(width / step)) + 1);
    tau.rows = std::max(2, static_cast<int>(std::ceil(height / step)) + 1);
    tau.step = step;
    tau.x0 = layout.x0 + layout.cell + (width - (tau.columns - 1) * step) / 2;
    tau.y0 = layout.y0 + layout.cell + (height - (tau.rows - 1) * step) / 2;
    tau.nodes.assign(static_cast<std::size_t>(tau.columns) * tau.rows, 1.0);
    if (first.nodes.size() == tau.nodes.size()) tau.nodes = first.nodes;

    // In units of start.lambda, so tau_k = 1 is the even smoothing.
    const double variance = start.noise_m * start.noise_m;
    const PatchMatrix p = patch_penalty(layout.cell);
    const std::size_t n = tau.nodes.size();
    std::vector<double> energy(n), dof(n);
    for (int round = 0; round < kRounds; ++round) {
        const StencilMatrix penalty = weighted_penalty(layout, tau);
        std::vector<double> c;
        StencilMatrix after, before;
        tbb::parallel_invoke(
            [&] {
                const BandCholesky posterior(eq.matrix, start.lambda, &penalty, tick);
                c = posterior.solve(eq.rhs);
                after = posterior.selected_inverse(tick);
            },
            [&] { before = BandCholesky(penalty, kRidge * penalty.trace() / eq.matrix.trace(), &eq.matrix, [] {}).selected_inverse([] {}); });

        // Energy and effective degrees of freedom of each window.
        std::fill(energy.begin(), energy.end(), 0), std::fill(dof.begin(), dof.end(), 0);
        for_each_patch(layout, [&](int i, int j, double x, double y) {
            double e = 0;
            for (int a = 0; a < 16; ++a)
                for (int b = 0; b < 16; ++b)
                    e += p[a][b] * c[static_cast<std::size_t>(j + a / 4) * layout.columns + i + a % 4] *
                         c[static_cast<std::size_t>(j + b / 4) * layout.columns + i + b % 4];
            // Covariances in units of the noise: prior P^- / lambda, posterior (A'WA + lambda P)^-1.
            const double d = patch_trace(p, before, i, j) - start.lambda * patch_trace(p, after, i, j);
            const Corners at = corners(tau, x, y);
            for (int k = 0; k < 4; ++k) energy[at.node[k]] += at.share[k] * e, dof[at.node[k]] += at.share[k] * d * tau.nodes[at.node[k]];
        });
        double mean = 0, moved = 0;
        for (const double t : tau.nodes) mean += t / static_cast<double>(n);
        for (std::size_t k = 0; k < n; ++k) {
            const double up = std::max(dof[k], 0.0) + kPriorDof, down = start.lambda * energy[k] / variance + kPriorDof / mean;
            const double next = std::clamp(up / down, 1 / kWidest, kWidest);
            moved += std::abs(std::log(next / tau.nodes[k])) / static_cast<double>(n);
            tau.nodes[k] = next;
        }
        if (moved < kSettled) break;
    }
    return tau;
}

}  // namespace brae
