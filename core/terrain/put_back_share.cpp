#include "core/terrain/put_back_share.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace brae {

namespace {

constexpr std::size_t kMostPoints = 200'000;   // of a sample
constexpr double kLeastScatterM = 0.002;       // under this nothing is no turf, however exact the others are
constexpr double kExactM = 1e-5;

// How far the points on the green lie from the surface.
std::vector<double> residuals(const TerrainModel& t, const std::vector<Vec3>& points) {
    std::vector<double> out;
    for (const Vec3& p : points)
        if (t.outline.contains({p.x, p.y})) out.push_back(std::abs(p.z - t.surface->height(p.x, p.y)));
    return out;
}

// Of a normal scatter the median of the sizes is 0.6745 of the standard deviation.
double robust_deviation(std::vector<double> sizes) {
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    return *middle / 0.6745;
}

}  // namespace

PutBackSample put_back_sample(const Survey& survey, const std::vector<std::uint8_t>& without) {
    PutBackSample out;
    if (without.size() != survey.points.size() || survey.removed.size() != survey.points.size()) return out;
    const auto is_back = [&](std::size_t k) { return survey.removed[k] == kept && without[k] != kept; };
    const auto is_other = [&](std::size_t k) { return survey.removed[k] == kept && without[k] == kept; };
    std::size_t back = 0, others = 0;
    for (std::size_t k = 0; k < without.size(); ++k) back += is_back(k), others += is_other(k);
    out.back_every = back / kMostPoints + 1, out.others_every = others / kMostPoints + 1;
    back = others = 0;
    for (std::size_t k = 0; k < without.size(); ++k) {
        if (is_back(k) && back++ % out.back_every == 0) out.back.push_back(survey.points[k]);
        if (is_other(k) && others++ % out.others_every == 0) out.others.push_back(survey.points[k]);
    }
    return out;
}

PutBackShare put_back_share(const TerrainModel& terrain, const PutBackSample& sample) {
    PutBackShare out;
    if (!terrain.surface || sample.back.empty()) return out;
    const std::vector<double> back = residuals(terrain, sample.back), others = residuals(terrain, sample.others);
    if (back.empty()) return out;
    double squares = 0;
    for (const double r : back) squares += r * r;
    out.points = back.size() * sample.back_every;
    out.scatter_m = std::sqrt(squares / static_cast<double>(back.size()));
    if (others.empty() || out.scatter_m < kLeastScatterM) return out;
    const double n = static_cast<double>(out.points), m = static_cast<double>(others.size() * sample.others_every);
    const double apart = std::max(robust_deviation(others), kExactM);
    out.noise_rise = std::sqrt((n * out.scatter_m * out.scatter_m + m * apart * apart) / ((n + m) * apart * apart));
    return out;
}

}  // namespace brae
