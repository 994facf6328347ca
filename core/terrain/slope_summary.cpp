#include "core/base/error.h"
#include "core/base/random.h"
#include "core/terrain/build_terrain.h"
#include "core/terrain/slope.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace brae {

namespace {

// Order statistic at a share of the sorted values.
double quantile(std::vector<double>& values, double share) {
    const auto k = static_cast<std::ptrdiff_t>(std::min(share * static_cast<double>(values.size()),
                                                        static_cast<double>(values.size()) - 1));
    std::nth_element(values.begin(), values.begin() + k, values.end());
    return values[static_cast<std::size_t>(k)];
}

// One draw of the slope of a Gaussian process with covariance s^2 exp(-d^2 / (2 L^2)), by random Fourier features
// (Rahimi and Recht 2007): wave vectors are normal with deviation 1 / L.
class ErrorSlope {
public:
    ErrorSlope(double s, double length, Random& random) {
        for (Wave& w : waves_) {
            w.k = {random.normal() / length, random.normal() / length};
            w.phase = random.uniform(0, 2 * kPi);
        }
        scale_ = s * std::sqrt(2.0 / kWaves);
    }
    Vec2 at(Vec2 p) const {
        Vec2 g;
        for (const Wave& w : waves_) g = g - std::sin(dot(w.k, p) + w.phase) * w.k;
        return scale_ * g;
    }

private:
    static constexpr int kWaves = 48;
    struct Wave { Vec2 k; double phase = 0; };
    std::array<Wave, kWaves> waves_;
    double scale_ = 0;
};

constexpr int kDraws = 40;
constexpr std::size_t kSamples = 600;

}  // namespace

// The standard error is that of the median over the green, found by drawing error fields from the model's two
// correlated processes (fixed seed): their scatter, and the shift by which error lifts or lowers a median of sizes.
SlopeSummary slope_summary(const TerrainModel& model) {
    std::vector<double> slopes;
    std::vector<std::pair<Vec2, Vec2>> where;  // cell centre and slope vector
    const Raster& h = model.grid.height;
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i) {
            if (!model.grid.has(i, j)) continue;
            const Vec2 c = h.centre(i, j);
            const SurfaceJet jet = model.surface->jet(c.x, c.y);
            slopes.push_back(slope_ratio(jet));
            where.push_back({c, {jet.hx, jet.hy}});
        }
    if (slopes.empty()) throw Error("the green has no cell with data, so it has no slope");
    SlopeSummary out;
    out.max = *std::max_element(slopes.begin(), slopes.end());
    out.p90 = quantile(slopes, 0.9);
    out.median = quantile(slopes, 0.5);

    // Evenly thinned cells are enough for the scatter.
    const std::size_t step = std::max<std::size_t>(1, where.size() / kSamples);
    std::vector<std::pair<Vec2, Vec2>> sample;
    for (std::size_t k = step / 2; k < where.size(); k += step) sample.push_back(where[k]);
    std::vector<double> sizes(sample.size());
    const auto median_with = [&](auto&& error) {
        for (std::size_t k = 0; k < sample.size(); ++k) sizes[k] = norm(sample[k].second + error(sample[k].first));
        return quantile(sizes, 0.5);
    };
    const double plain = median_with([](Vec2) { return Vec2{}; });
    Random random(20240229);
    double squares = 0;
    for (int d = 0; d < kDraws; ++d) {
        const ErrorSlope a(model.error.smooth_se_m, model.error.smooth_length_m, random);
        const ErrorSlope b(model.error.correlated_se_m, model.error.correlated_length_m, random);
        const double off = median_with([&](Vec2 p) { return a.at(p) + b.at(p); }) - plain;
        squares += off * off;
    }
    out.median_se = std::sqrt(squares / kDraws);
    return out;
}

}  // namespace brae
