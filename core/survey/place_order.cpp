#include "core/survey/place_order.h"

#include "core/base/large_vector.h"
#include "core/base/parts.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace brae {

namespace {

// Limits of the middle 99 % of one axis, from some of the points: strays must not stretch the squares.
std::pair<double, double> limits(const std::vector<Vec3>& points, double Vec3::*axis) {
    std::vector<double> some;
    const std::size_t every = points.size() / 20'000 + 1;
    for (std::size_t k = 0; k < points.size(); k += every) some.push_back(points[k].*axis);
    std::sort(some.begin(), some.end());
    const std::size_t rim = some.size() / 200;
    return {some[rim], some[some.size() - 1 - rim]};
}

}  // namespace

void order_by_place(Survey& survey, Progress& progress) {
    const std::size_t n = survey.points.size();
    if (n < kOrderedFrom) return;
    progress.step(0.0, "sorting points");
    const std::pair<double, double> across = limits(survey.points, &Vec3::x), up = limits(survey.points, &Vec3::y);
    // Squares of some thousand points each; what lies beyond the limits goes to those at the rim.
    const double x0 = across.first, y0 = up.first, width = std::max(across.second - x0, 1e-6), height = std::max(up.second - y0, 1e-6);
    const double side = std::max({std::sqrt(width * height / std::min(8192.0, static_cast<double>(n) / 1024)), width / 4000, height / 4000});
    const auto columns = static_cast<std::size_t>(width / side) + 1, rows = static_cast<std::size_t>(height / side) + 1;
    const double per = 1 / side;
    const auto bin_of = [&](std::size_t k) {
        const Vec3& p = survey.points[k];
        const double i = std::clamp((p.x - x0) * per, 0.0, static_cast<double>(columns - 1)), j = std::clamp((p.y - y0) * per, 0.0, static_cast<double>(rows - 1));
        return static_cast<std::size_t>(j) * columns + static_cast<std::size_t>(i);
    };
    std::vector<std::uint16_t> classes(survey.classes.size()), strips(survey.strips.size());
    std::vector<Vec3> points = large_vector<Vec3>(n, progress);
    sort_into_bins(n, columns * rows, bin_of, [&](std::size_t k, std::uint32_t at) {
        points[at] = survey.points[k];
        if (!classes.empty()) classes[at] = survey.classes[k];
        if (!strips.empty()) strips[at] = survey.strips[k];
    }, progress);
    progress.step(0.0, "sorting points");
    survey.points = std::move(points);
    survey.classes = std::move(classes);
    survey.strips = std::move(strips);
}

}  // namespace brae
