#include "core/terrain/raster_noise.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace brae {

namespace {

// Longest lag looked at, m: beyond it the shape of the green itself bends the growth.
constexpr double kLongestLag = 2.0;
constexpr double kWidestSpacing = 1.0;   // m; on wider nodes the green bends within the three lags that are needed
constexpr double kSlackening = 0.5;      // fall of the exponent of growth that speaks of correlation
constexpr std::size_t kFewestIncrements = 100;
// Noise below this is none, m.
constexpr double kNoNoise = 2e-4;

struct Lag { double lag_m, variance; };

// Robust variances of third differences at lags of 1, 2, ... nodes.
std::vector<Lag> increments(const std::vector<Vec3>& nodes, double spacing) {
    // The raster may lie turned in the local frame: its direction (to a quarter turn) and true spacing from neighbours
    // in the order of the file.
    double c4 = 0, s4 = 0, length = 0;
    std::size_t pairs = 0;
    for (std::size_t k = 1; k < nodes.size(); ++k) {
        const double dx = nodes[k].x - nodes[k - 1].x, dy = nodes[k].y - nodes[k - 1].y, d = std::hypot(dx, dy);
        if (std::abs(d / spacing - 1) > 0.02) continue;
        const double turn = 4 * std::atan2(dy, dx);
        c4 += std::cos(turn), s4 += std::sin(turn), length += d, ++pairs;
    }
    if (pairs == 0) return {};
    const double angle = std::atan2(s4, c4) / 4, side = length / static_cast<double>(pairs);
    const double c = std::cos(angle) / side, s = std::sin(angle) / side;

    // Onto a dense raster, NaN where there is no node; what lies on no node of it is no raster.
    std::vector<std::pair<long, long>> places;
    long i0 = 0, j0 = 0, i1 = 0, j1 = 0;
    for (const Vec3& p : nodes) {
        const double dx = p.x - nodes[0].x, dy = p.y - nodes[0].y, u = c * dx + s * dy, v = c * dy - s * dx;
        if (std::abs(u - std::round(u)) > 0.1 || std::abs(v - std::round(v)) > 0.1) return {};
        places.emplace_back(std::lround(u), std::lround(v));
        i0 = std::min(i0, places.back().first), i1 = std::max(i1, places.back().first);
        j0 = std::min(j0, places.back().second), j1 = std::max(j1, places.back().second);
    }
    const int nx = static_cast<int>(i1 - i0) + 1, ny = static_cast<int>(j1 - j0) + 1;
    if (static_cast<double>(nx) * ny > 100 * static_cast<double>(nodes.size())) return {};
    std::vector<double> z(static_cast<std::size_t>(nx) * ny, std::numeric_limits<double>::quiet_NaN());
    for (std::size_t k = 0; k < nodes.size(); ++k)
        z[static_cast<std::size_t>(places[k].second - j0) * nx + static_cast<std::size_t>(places[k].first - i0)] = nodes[k].z;

    std::vector<Lag> out;
    for (int lag = 1; lag <= 4 || (lag * side <= kLongestLag && lag <= 16); ++lag) {
        std::vector<double> size;
        const auto collect = [&](int width, int height, std::size_t stride) {
            for (int j = 0; j < height; ++j)
                for (int i = 0; i < width; ++i) {
                    const std::size_t k = static_cast<std::size_t>(j) * nx + i, t = stride * static_cast<std::size_t>(lag);
                    const double d = z[k] - 3 * z[k + t] + 3 * z[k + 2 * t] - z[k + 3 * t];
                    if (std::isfinite(d)) size.push_back(std::abs(d));
                }
        };
        if (nx > 3 * lag) collect(nx - 3 * lag, ny, 1);
        if (ny > 3 * lag) collect(nx, ny - 3 * lag, static_cast<std::size_t>(nx));
        if (size.size() < kFewestIncrements) break;
        const auto middle = size.begin() + static_cast<std::ptrdiff_t>(size.size() / 2);
        std::nth_element(size.begin(), middle, size.end());
        const double deviation = *middle / 0.6744897501960817;  // median of |normal|
        out.push_back({lag * side, deviation * deviation});
    }
    return out;
}

// Variance of a third difference at lag h of unit noise correlated as exp(-d^2 / (2 L^2)).
double correlated_part(double h, double length) {
    const auto rho = [&](double d) { return std::exp(-d * d / (2 * length * length)); };
    return 20 - 30 * rho(h) + 12 * rho(2 * h) - 2 * rho(3 * h);
}

}  // namespace

double RasterNoise::total_m() const { return std::hypot(independent_m, correlated_m); }

double RasterNoise::effective_m() const {
    // Sum of the correlations over the nodes; the integral 2 pi L^2 where the length spans nodes.
    if (correlated_m <= 0) return independent_m;
    double sum = 0;
    const int reach = static_cast<int>(std::ceil(5 * length_m / spacing_m));
    for (int j = -reach; j <= reach; ++j)
        for (int i = -reach; i <= reach; ++i)
            sum += std::exp(-(i * i + j * j) * spacing_m * spacing_m / (2 * length_m * length_m));
    return std::sqrt(independent_m * independent_m + correlated_m * correlated_m * sum);
}

RasterNoise raster_noise(const std::vector<Vec3>& nodes, double spacing_m) {
    RasterNoise best;
    best.spacing_m = spacing_m;
    const std::vector<Lag> lags = nodes.empty() ? std::vector<Lag>{} : increments(nodes, spacing_m);
    if (lags.size() < 4 || spacing_m > kWidestSpacing * 1.001) return best;
    best.measured = true;

    // Exponents of growth from lag to double lag. Under two there is noise; a fall on the way there is its length.
    bool noisy = false, correlated = false;
    double steepest = 0;
    for (std::size_t k = 1; 2 * k <= lags.size(); k *= 2) {
        const Lag &near = lags[k - 1], &far = lags[2 * k - 1];
        if (near.variance < 20 * kNoNoise * kNoNoise) continue;
        const double growth = std::log2(far.variance / near.variance);
        noisy = noisy || growth < 2;
        correlated = correlated || (growth < 2 && steepest > growth + kSlackening);
        steepest = std::max(steepest, growth);
    }
    if (!noisy) return best;

    // Smooth surface + independent + correlated noise, by weighted least squares with no negative part, for each
    // length; the weights make relative errors count alike.
    double least = std::numeric_limits<double>::infinity();
    for (int step = 0; step <= (correlated ? 30 : 0); ++step) {
        const double length = step == 0 ? 0 : 0.4 * spacing_m * std::pow(1.1, step - 1);
        if (length > kLongestLag / 3) break;
        const int parts = step == 0 ? 2 : 3;
        Eigen::MatrixXd m(lags.size(), parts);
        for (std::size_t k = 0; k < lags.size(); ++k) {
            const double h = lags[k].lag_m, v = lags[k].variance;
            m(k, 0) = h * h * h * h / v;
            m(k, 1) = 20 / v;
            if (parts == 3) m(k, 2) = correlated_part(h, length) / v;
        }
        const Eigen::VectorXd ones = Eigen::VectorXd::Ones(static_cast<Eigen::Index>(lags.size()));
        // Every subset of parts is tried: three are few.
        for (int subset = 1; subset < (1 << parts); ++subset) {
            Eigen::MatrixXd chosen(lags.size(), 0);
            std::array<int, 3> which{};
            int n = 0;
            for (int p = 0; p < parts; ++p)
                if (subset >> p & 1) {
                    chosen.conservativeResize(Eigen::NoChange, n + 1);
                    chosen.col(n) = m.col(p);
                    which[n++] = p;
                }
            const Eigen::VectorXd a = chosen.colPivHouseholderQr().solve(ones);
            if (a.minCoeff() < 0) continue;
            const double misfit = (chosen * a - ones).squaredNorm();
            if (!(misfit < least * (1 - 1e-9))) continue;
            least = misfit;
            best.independent_m = best.correlated_m = best.length_m = 0;
            for (int p = 0; p < n; ++p) {
                if (which[p] == 1) best.independent_m = std::sqrt(a[p]);
                if (which[p] == 2) best.correlated_m = std::sqrt(a[p]), best.length_m = length;
            }
        }
    }
    if (best.total_m() < kNoNoise) best.independent_m = best.correlated_m = best.length_m = 0;
    return best;
}

}  // namespace brae
