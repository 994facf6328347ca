#include "core/terrain/survey_checks.h"

#include "core/base/error.h"
#include "core/base/parts.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdint>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kSheetGap = 0.30;       // m between two sheets of heights
constexpr double kSheetShare = 0.20;     // of the cells
constexpr double kStoreyShare = 0.35;      // of the points, above the turf
constexpr double kNoiseOfNoTurf = 0.15;  // m
constexpr double kSlopeOfNoTurf = 0.50;  // ratio
constexpr double kReliefOfNoTurf = 2;    // relief over the root of the area
constexpr double kAreaPerPoint = 16;     // m^2

}  // namespace

void require_surface(const std::vector<FitPoint>& points, double area_m2, const Progress& progress) {
    const auto wanted = static_cast<std::size_t>(std::max(10.0, std::ceil(area_m2 / kAreaPerPoint)));
    if (points.size() < wanted)
        throw Error(fmt::format("the survey has {} points on a green of {:.0f} m2; at least {} are wanted", points.size(),
                                area_m2, wanted));

    // Heights out of all proportion to the extent are in another unit; two thirds of them settle it, and some of very many.
    std::vector<double> heights;
    const std::size_t every = points.size() / 200'000 + 1;
    for (std::size_t k = 0; k < points.size(); k += every) heights.push_back(points[k].z);
    const std::size_t sixth = heights.size() / 6;
    const auto low = heights.begin() + static_cast<std::ptrdiff_t>(sixth), high = heights.end() - 1 - static_cast<std::ptrdiff_t>(sixth);
    std::nth_element(heights.begin(), low, heights.end());
    const double bottom = *low;
    std::nth_element(heights.begin(), high, heights.end());
    const double relief = *high - bottom;
    if (relief > kReliefOfNoTurf * std::sqrt(area_m2))
        throw Error(fmt::format("the heights span {:.0f} m on a green of {:.0f} m2; they are probably in another unit than "
                                "the positions", relief, area_m2));

    progress.check();
    // Points by small cells that hold about eight each, in a fixed order.
    Box box{points[0].x, points[0].y, points[0].x, points[0].y};
    for (const FitPoint& p : points)
        box = {std::min(box.x0, p.x), std::min(box.y0, p.y), std::max(box.x1, p.x), std::max(box.y1, p.y)};
    progress.check();
    const double area = std::max(box.width() * box.height(), 1.0);
    const double cell = std::max({std::clamp(std::sqrt(8 * area / static_cast<double>(points.size())), 0.10, 2.0), std::sqrt(area / 4e6),
                                  box.width() / 1e5, box.height() / 1e5});
    const auto columns = static_cast<std::size_t>(box.width() / cell) + 1, rows = static_cast<std::size_t>(box.height() / cell) + 1;
    std::vector<float> sorted(points.size());
    const auto start = sort_into_bins(
        points.size(), columns * rows,
        [&](std::size_t k) {
            return static_cast<std::size_t>((points[k].y - box.y0) / cell) * columns + static_cast<std::size_t>((points[k].x - box.x0) / cell);
        },
        [&](std::size_t k, std::uint32_t at) { sorted[at] = static_cast<float>(points[k].z); }, progress);

    // A cell is split when its sorted heights leave a wide gap with at least two on either side.
    std::size_t cells = 0, split = 0;
    for (std::size_t c = 0; c + 1 < start.size(); ++c) {
        if (c % 4096 == 0) progress.check();
        const auto begin = sorted.begin() + start[c], end = sorted.begin() + start[c + 1];
        if (end - begin < 4) continue;
        ++cells;
        const auto [least, most] = std::minmax_element(begin, end);
        if (*most - *least <= static_cast<float>(kSheetGap)) continue;
        std::sort(begin, end);
        for (auto k = begin + 2; k + 1 < end; ++k)
            if (*k - *(k - 1) > static_cast<float>(kSheetGap)) {
                ++split;
                break;
            }
    }
    if (cells >= 5 && static_cast<double>(split) > kSheetShare * static_cast<double>(cells))
        throw Error(fmt::format("the survey is not a surface: {} of {} small cells hold two heights more than {:.1f} m "
                                "apart; one height in each place is wanted", split, cells, kSheetGap));
}

void require_one_storey(const Survey& survey, const Outline& outline, const Progress& progress) {
    if (survey.removed.size() != survey.points.size()) return;
    std::atomic<std::size_t> turf = 0, above = 0;
    for_parts(survey.points.size(), survey.points.size() / 65536 + 1, progress, [&](std::size_t, std::size_t begin, std::size_t end) {
        std::size_t own_turf = 0, own_above = 0;
        for (std::size_t k = begin; k < end; ++k) {
            const std::uint8_t reason = survey.removed[k];
            if ((reason == kept || reason == above_turf) && outline.contains({survey.points[k].x, survey.points[k].y}))
                ++(reason == kept ? own_turf : own_above);
        }
        turf += own_turf;
        above += own_above;
    });
    if (static_cast<double>(above) > kStoreyShare * static_cast<double>(turf + above))
        throw Error(fmt::format("the survey is not a surface: {:.0f} % of its points stand above the turf; clip it to the "
                                "green, or hand in the ground points only",
                                100.0 * static_cast<double>(above) / static_cast<double>(turf + above)));
}

void require_turf(double noise_m, double median_slope) {
    if (median_slope > kSlopeOfNoTurf)
        throw Error(fmt::format("the median slope is {:.0f} %, which no green has; the heights are probably in another "
                                "unit than the positions", 100 * median_slope));
    if (noise_m >= kNoiseOfNoTurf)
        throw Error(fmt::format("the survey is not a surface: its heights scatter by {:.2f} m about any smooth one; turf "
                                "scatters by a few centimetres at most", noise_m));
}

}  // namespace brae
