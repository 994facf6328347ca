#include "core/teach/sampler.h"

#include "core/base/random.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

class Target {
public:
    Target(const LogDensity& density, std::size_t n) : density_(density), at_(n), gradient_(n) {}
    double operator()(const VectorXd& x, VectorXd& g) {
        ++calls;
        std::copy(x.data(), x.data() + x.size(), at_.begin());
        const double value = density_(at_, gradient_);
        g = Eigen::Map<const VectorXd>(gradient_.data(), x.size());
        return value;
    }
    int calls = 0;

private:
    const LogDensity& density_;
    std::vector<double> at_, gradient_;
};

// The highest point near the start: BFGS (Nocedal and Wright 2006, 6.1) with backtracking.
VectorXd climb(Target& target, VectorXd x) {
    const Eigen::Index n = x.size();
    MatrixXd inverse = MatrixXd::Identity(n, n);
    VectorXd g(n), g_new(n);
    double f = target(x, g);
    for (int k = 0; k < 200 && g.norm() > 1e-4 * std::sqrt(double(n)); ++k) {
        VectorXd step = inverse * g;
        if (step.dot(g) <= 0) inverse.setIdentity(), step = g;
        double scale = std::min(1.0, 3.0 / step.norm()), f_new = f;
        bool rose = false;
        for (int h = 0; h < 30; ++h, scale *= 0.5) {
            f_new = target(x + scale * step, g_new);
            if (std::isfinite(f_new) && f_new >= f + 1e-4 * scale * step.dot(g)) { rose = true; break; }
        }
        if (!rose) break;
        const VectorXd s = scale * step, y = g - g_new;
        x += s;
        const double sy = s.dot(y);
        if (sy > 1e-10 * s.norm() * y.norm()) {
            const VectorXd hy = inverse * y;
            inverse += (1 + y.dot(hy) / sy) / sy * (s * s.transpose()) - (hy * s.transpose() + s * hy.transpose()) / sy;
        }
        f = f_new;
        g = g_new;
    }
    return x;
}

// Columns that span the ellipsoid of Laplace's approximation; curvatures under 0.3 count as 0.3.
MatrixXd shape_at(Target& target, const VectorXd& mode) {
    const Eigen::Index n = mode.size();
    MatrixXd h(n, n);
    VectorXd up(n), down(n), x = mode;
    const double step = 1e-3;
    for (Eigen::Index i = 0; i < n; ++i) {
        x[i] = mode[i] + step;
        target(x, up);
        x[i] = mode[i] - step;
        target(x, down);
        x[i] = mode[i];
        h.col(i) = (down - up) / (2 * step);
    }
    const Eigen::SelfAdjointEigenSolver<MatrixXd> parts(0.5 * (h + h.transpose()));
    return parts.eigenvectors() * parts.eigenvalues().cwiseMax(0.3).cwiseSqrt().cwiseInverse().asDiagonal();
}

// Split R-hat and the effective number of draws of one dimension.
void diagnose(const Draws& d, std::size_t dimension, int chains, double& r_hat, double& effective) {
    const std::size_t per = d.count / static_cast<std::size_t>(chains), half = per / 2;
    const std::size_t m = 2 * static_cast<std::size_t>(chains);
    std::vector<double> means, vars;
    const auto value = [&](std::size_t part, std::size_t k) { return d.at((part / 2) * per + (part % 2) * half + k, dimension); };
    for (std::size_t c = 0; c < m; ++c) {
        double mean = 0, var = 0;
        for (std::size_t k = 0; k < half; ++k) mean += value(c, k) / static_cast<double>(half);
        for (std::size_t k = 0; k < half; ++k) var += std::pow(value(c, k) - mean, 2) / static_cast<double>(half - 1);
        means.push_back(mean), vars.push_back(var);
    }
    double grand = 0, between = 0, within = 0;
    for (std::size_t c = 0; c < m; ++c) grand += means[c] / double(m), within += vars[c] / double(m);
    for (double mean : means) between += (mean - grand) * (mean - grand) / double(m - 1);
    const double plus = within * double(half - 1) / double(half) + between;
    r_hat = within > 0 ? std::sqrt(plus / within) : 1;
    // Geyer's initial positive sequence on the pooled autocorrelation.
    double sum = 0;
    for (std::size_t lag = 1; lag + 1 < half; lag += 2) {
        double pair = 0;
        for (std::size_t l : {lag, lag + 1}) {
            double gap = 0;
            for (std::size_t c = 0; c < m; ++c)
                for (std::size_t k = 0; k + l < half; ++k) gap += std::pow(value(c, k + l) - value(c, k), 2);
            gap /= double(m) * double(half - l);
            pair += 1 - gap / (2 * plus);
        }
        // Lags are paired from (1, 2): the sum is a little cautious.
        if (pair <= 0) break;
        sum += pair;
    }
    effective = plus > 0 ? double(d.count) / std::max(0.3, 1 + 2 * sum) : double(d.count);
}

}  // namespace

Draws sample(const LogDensity& density, std::size_t dimensions, const SamplerOptions& options, Progress& progress) {
    Target target(density, dimensions);
    const auto n = static_cast<Eigen::Index>(dimensions);
    progress.step(0, "finding the likeliest player");
    const VectorXd mode = climb(target, VectorXd::Zero(n));
    const MatrixXd shape = shape_at(target, mode);

    Draws out;
    out.dimensions = dimensions;
    out.mode.assign(mode.data(), mode.data() + n);
    out.values.reserve(dimensions * static_cast<std::size_t>(options.chains * options.draws));
    Random random(options.seed);
    const auto normals = [&] {
        VectorXd z(n);
        for (Eigen::Index i = 0; i < n; ++i) z[i] = random.normal();
        return z;
    };

    // Whitened by the shape, so that one step size serves all directions.
    double epsilon = 0.5 * std::pow(double(n) / 25, -0.25), log_bar = std::log(epsilon), h_bar = 0;
    const double mu = std::log(2 * epsilon);
    double accepted = 0;
    std::size_t proposed = 0;
    VectorXd g(n);
    struct Chain { VectorXd w, gw; double f = 0; std::vector<double> values; };
    std::vector<Chain> chains;
    // One proposal; `learn`: the step's number where the step size is still learnt.
    const auto move = [&](Chain& c, int learn) {
        const VectorXd momentum = normals();
        const double e = epsilon * random.uniform(0.8, 1.2);
        const int steps = std::clamp(static_cast<int>(std::lround(random.uniform(1.0, 2.0) / e)), 1, 40);
        VectorXd w1 = c.w, g1 = c.gw, p = momentum + 0.5 * e * c.gw;
        double f1 = c.f;
        for (int s = 0; s < steps; ++s) {
            w1 += e * p;
            f1 = target(mode + shape * w1, g);
            g1 = shape.transpose() * g;
            p += (s + 1 < steps ? 1.0 : 0.5) * e * g1;
            if (!std::isfinite(f1)) break;
        }
        const double rise = f1 - 0.5 * p.squaredNorm() - c.f + 0.5 * momentum.squaredNorm();
        const double chance = std::isfinite(rise) ? std::min(1.0, std::exp(std::min(0.0, rise))) : 0;
        if (random.uniform() < chance) c.w = w1, c.f = f1, c.gw = g1;
        if (learn >= 0) {
            const double t = learn + 1;
            h_bar += (0.85 - chance - h_bar) / (t + 10);
            const double log_e = mu - std::sqrt(t) / 0.05 * h_bar, weight = std::pow(t, -0.75);
            log_bar += weight * (log_e - log_bar);
            epsilon = std::clamp(std::exp(learn + 1 == options.warm_up ? log_bar : log_e), 0.02, 1.2);
        }
        return chance;
    };
    const auto draw_on = [&](Chain& c, double from, double to) {
        for (int k = 0; k < options.draws; ++k) {
            progress.step(from + (to - from) * k / options.draws);
            accepted += move(c, -1);
            ++proposed;
            const VectorXd x = mode + shape * c.w;
            c.values.insert(c.values.end(), x.data(), x.data() + n);
        }
    };
    const auto gather = [&] {
        out.values.clear();
        for (const Chain& c : chains) out.values.insert(out.values.end(), c.values.begin(), c.values.end());
        out.count = out.values.size() / dimensions;
        out.worst_r_hat = 1;
        out.least_effective = double(out.count);
        for (std::size_t i = 0; i < dimensions; ++i) {
            double r_hat = 1, effective = 0;
            diagnose(out, i, options.chains, r_hat, effective);
            out.worst_r_hat = std::max(out.worst_r_hat, r_hat);
            out.least_effective = std::min(out.least_effective, effective);
        }
    };

    for (int k = 0; k < options.chains; ++k) {
        Chain& c = chains.emplace_back();
        c.w = 0.8 * normals();
        c.f = target(mode + shape * c.w, g);
        c.gw = shape.transpose() * g;
        // Only the first chain learns the step.
        const int warm = k == 0 ? options.warm_up : options.warm_up / 4;
        for (int i = 0; i < warm; ++i) {
            progress.step(0.05 + 0.9 * k / options.chains);
            move(c, k == 0 ? i : -1);
        }
        draw_on(c, 0.05 + 0.9 * k / options.chains, 0.05 + 0.9 * (k + 1) / options.chains);
    }
    gather();
    for (int more = 0; more < options.extensions && (out.worst_r_hat >= kSettledRHat || out.least_effective < kSettledDraws); ++more) {
        for (Chain& c : chains) draw_on(c, 0.95, 0.99);
        gather();
    }
    out.acceptance = accepted / double(proposed);
    out.gradients = target.calls;
    return out;
}

}  // namespace brae
