// Layers: strips of a flight or setups of a scanner that do not meet lie as two sheets over one another, and a surface
// through both is rough and its slope too large. Two heaps are told from one by the split that leaves least scatter within
// (N. Otsu, "A threshold selection method from gray-level histograms", IEEE Trans. SMC 9(1):62-66, 1979; from memory).
#include "core/survey/clean_layers.h"

#include "core/base/units.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <span>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

// Strips closer than this are not told from one another, nor is their difference worth losing points for.
constexpr double kLeastGapM = 0.010;
// Fewest points of each strip in a cell, and fewest such cells, for a comparison.
constexpr std::size_t kFewestInCell = 3, kFewestCells = 12;
// Two heaps: one normal heap split at its middle stands 2.65 of its inner deviations apart, an even one 3.5 (derived).
constexpr double kApart = 5.0, kShareOfCells = 0.15, kSmallerHeap = 0.25;
constexpr std::size_t kFewestInHeaps = 12;

double median_of(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

double spread_of(const std::vector<double>& values, double middle) {
    std::vector<double> off;
    for (double v : values) off.push_back(std::abs(v - middle));
    return 1.4826 * median_of(std::move(off));
}

template <class F>
void each_cell(const PointGrid& cells, Progress& progress, F f) {
    for (int j = 0; j < cells.rows(); ++j) {
        if (progress.cancelled()) progress.step(0);
        for (int i = 0; i < cells.columns(); ++i)
            if (!cells.at(i, j).empty()) f(cells.at(i, j));
    }
}

// Strips against the strip with most points, each in the cells that both reach.
bool drop_strips(Survey& survey, const PointGrid& cells, const std::vector<std::uint32_t>& use, const std::vector<double>& above,
                 Progress& progress) {
    std::vector<std::size_t> sizes(65536, 0);
    for (std::uint32_t k : use) ++sizes[survey.strips[k]];
    std::vector<std::pair<std::uint16_t, std::size_t>> order;
    for (std::size_t strip = 0; strip < sizes.size(); ++strip)
        if (sizes[strip] > 0) order.emplace_back(static_cast<std::uint16_t>(strip), sizes[strip]);
    if (order.size() < 2) return false;
    std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
    // A green is flown in a few strips; numbers that differ from point to point are none.
    order.resize(std::min<std::size_t>(order.size(), 64));

    bool dropped = false;
    // Every strip is judged by those before it that were believed.
    for (std::size_t s = 1; s < order.size(); ++s) {
        const std::uint16_t strip = order[s].first;
        std::vector<double> gaps, own, others;
        std::vector<std::uint32_t> shared;
        each_cell(cells, progress, [&](std::span<const std::uint32_t> held) {
            own.clear();
            others.clear();
            for (std::uint32_t k : held) {
                if (survey.removed[k] != kept || !std::isfinite(above[k])) continue;
                if (survey.strips[k] == strip) own.push_back(above[k]);
                else if (sizes[survey.strips[k]] > order[s].second || (sizes[survey.strips[k]] == order[s].second && survey.strips[k] < strip)) others.push_back(above[k]);
            }
            if (own.size() < kFewestInCell || others.size() < kFewestInCell) return;
            gaps.push_back(median_of(own) - median_of(others));
            for (std::uint32_t k : held)
                if (survey.strips[k] == strip && survey.removed[k] == kept) shared.push_back(k);
        });
        if (gaps.size() < kFewestCells) continue;
        // Clear of its own standard error (that of a median is 1.25 deviations over the root of their number).
        const double gap = median_of(gaps), error = 1.25 * spread_of(gaps, gap) / std::sqrt(static_cast<double>(gaps.size()));
        if (std::abs(gap) < kLeastGapM + 3 * error) continue;
        for (std::uint32_t k : shared) survey.removed[k] = double_strip;
        const bool alone = shared.size() + shared.size() / 10 < order[s].second;
        survey.warnings.push_back(fmt::format("strip {} lies {:.0f} mm {} the rest; its {} points over the rest were left out{}", strip,
                                              1000 * std::abs(gap), gap > 0 ? "above" : "below", shared.size(),
                                              alone ? ", and where it lies alone heights step by as much" : ""));
        dropped = true;
    }
    return dropped;
}

// Two heaps in one cell: how far apart, and where they part.
struct Heaps {
    double gap = 0, part = 0;
    std::size_t low = 0, high = 0;
};
std::optional<Heaps> two_heaps(std::vector<double>& z) {
    const std::size_t n = z.size();
    if (n < kFewestInHeaps) return std::nullopt;
    std::sort(z.begin(), z.end());
    double total = 0, squares = 0;
    for (double v : z) {
        total += v;
        squares += v * v;
    }
    // The split with the largest variance between the two.
    double sum = 0, best = -1;
    std::size_t at = 0;
    const auto least = static_cast<std::size_t>(std::ceil(kSmallerHeap * static_cast<double>(n)));
    for (std::size_t k = 1; k < n; ++k) {
        sum += z[k - 1];
        if (k < least || n - k < least) continue;
        const double a = sum / static_cast<double>(k), b = (total - sum) / static_cast<double>(n - k);
        if (const double between = static_cast<double>(k) * static_cast<double>(n - k) * (b - a) * (b - a); between > best) {
            best = between;
            at = k;
        }
    }
    if (at == 0) return std::nullopt;
    double low = 0;
    for (std::size_t k = 0; k < at; ++k) low += z[k];
    const double a = low / static_cast<double>(at), b = (total - low) / static_cast<double>(n - at);
    const double within = std::max(0.0, squares - static_cast<double>(at) * a * a - static_cast<double>(n - at) * b * b) / static_cast<double>(n);
    if (b - a < kLeastGapM || (b - a) * (b - a) < kApart * kApart * within) return std::nullopt;
    return Heaps{b - a, (z[at - 1] + z[at]) / 2, at, n - at};
}

bool drop_heap(Survey& survey, const PointGrid& cells, const std::vector<double>& above, Progress& progress) {
    // Which cells hold two heaps, of which gap, and which heap holds more in all. Of very many points some say the same.
    constexpr std::size_t enough = 512;
    struct Cell {
        std::span<const std::uint32_t> held;
        double part, gap;
        std::size_t low, high;
    };
    struct Row {
        std::size_t judged = 0;
        std::vector<Cell> doubles;
    };
    std::vector<Row> rows(static_cast<std::size_t>(cells.rows()));
    tbb::parallel_for(0, cells.rows(), [&](int j) {
        if (progress.cancelled()) progress.step(0);
        std::vector<double> z;
        Row& row = rows[static_cast<std::size_t>(j)];
        for (int i = 0; i < cells.columns(); ++i) {
            const auto held = cells.at(i, j);
            const std::size_t stride = std::max<std::size_t>(1, held.size() / enough);
            z.clear();
            // Within a step that two setups may differ by; clutter stands higher.
            for (std::size_t n = 0; n < held.size(); n += stride)
                if (const std::uint32_t k = held[n]; survey.removed[k] == kept && std::abs(above[k]) < 0.2) z.push_back(above[k]);
            if (z.size() < kFewestInHeaps) continue;
            ++row.judged;
            if (const auto heaps = two_heaps(z)) row.doubles.push_back({held, heaps->part, heaps->gap, stride * heaps->low, stride * heaps->high});
        }
    });
    std::vector<double> gaps;
    std::vector<Cell> doubles;
    std::size_t judged = 0, low = 0, high = 0;
    for (const Row& row : rows) {
        judged += row.judged;
        for (const Cell& cell : row.doubles) {
            gaps.push_back(cell.gap);
            doubles.push_back(cell);
            low += cell.low;
            high += cell.high;
        }
    }
    if (gaps.size() < kFewestCells || static_cast<double>(gaps.size()) < kShareOfCells * static_cast<double>(judged)) return false;
    // One distance everywhere: two sheets. Grass and clutter stand at any height.
    const double gap = median_of(gaps);
    if (spread_of(gaps, gap) > 0.25 * gap) return false;
    const bool keep_low = low >= high;
    std::size_t count = 0;
    for (const Cell& cell : doubles) {
        if (std::abs(cell.gap - gap) > 0.5 * gap) continue;
        for (std::uint32_t k : cell.held)
            if (survey.removed[k] == kept && std::abs(above[k]) < 0.2 && (above[k] > cell.part) == keep_low) {
                survey.removed[k] = double_strip;
                ++count;
            }
    }
    survey.warnings.push_back(fmt::format("the survey lies double, {:.0f} mm apart, in {} of {} small cells; {} points of the {} layer, which "
                                          "has fewer, were left out", 1000 * gap, gaps.size(), judged, count, keep_low ? "upper" : "lower"));
    return count > 0;
}

}  // namespace

void drop_withheld(Survey& survey) {
    for (std::size_t k = 0; k < survey.classes.size(); ++k)
        if (survey.classes[k] & kWithheld) survey.removed[k] = withheld;
}

void drop_other_classes(Survey& survey) {
    if (survey.classes.size() != survey.points.size()) return;
    constexpr std::uint16_t ground = 2, key_point = 8;
    std::array<std::size_t, 256> counts{};
    std::size_t told = 0;
    for (std::size_t k = 0; k < survey.classes.size(); ++k)
        if (survey.removed[k] == kept && !(survey.classes[k] & kNoClass)) {
            ++counts[survey.classes[k] & kClassBits];
            ++told;
        }
    // A handful of ground points in a file that is otherwise unclassified is no classification.
    const bool has_ground = counts[ground] >= 12 && 20 * counts[ground] >= told;
    const auto stays = [&](std::uint16_t c) {
        return has_ground ? c == ground || c == key_point : c <= ground || c == key_point || c == 11 || c == 12;
    };
    std::size_t dropped = 0;
    for (std::size_t k = 0; k < survey.classes.size(); ++k)
        if (survey.removed[k] == kept && !(survey.classes[k] & kNoClass) && !stays(survey.classes[k] & kClassBits)) {
            survey.removed[k] = other_class;
            ++dropped;
        }
    if (dropped > 0)
        survey.warnings.push_back(has_ground ? fmt::format("the file tells ground from the rest: {} points of other classes were left out", dropped)
                                             : fmt::format("{} points that the file calls plants, buildings, water or noise were left out", dropped));
}

bool drop_second_layer(Survey& survey, const PointGrid& cells, const std::vector<std::uint32_t>& use, const std::vector<double>& above,
                       Progress& progress) {
    if (survey.strips.size() == survey.points.size() && drop_strips(survey, cells, use, above, progress)) return true;
    return drop_heap(survey, cells, above, progress);
}

}  // namespace brae
