#include "core/roll/capture_table.h"

#include "core/base/constants.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace brae {

namespace {

using G = CaptureGrid;

// [level; then slope by slope, angle by angle][u]: the limit in 0.1 mm/s, and the width of the uncertain band in 10 mm/s.
struct Row { std::array<std::uint16_t, G::kOffsets> limit; std::array<std::uint8_t, G::kOffsets> band; };
constexpr std::array<Row, 1 + G::kSlopes * G::kAngles> kRows{{
#include "core/roll/capture_table_data.inc"
}};

struct Value { double limit = 0, band = 0; };

// Along a row; u = 0 holds nothing and is not stored. The band is the wider of the neighbours'.
Value along(const Row& row, double u) {
    const double k = u * G::kOffsets - 1;
    if (k < 0) return {(k + 1) * 1e-4 * row.limit[0], 0.01 * row.band[0]};
    const int i = std::min(static_cast<int>(k), G::kOffsets - 2);
    const double f = k - i;
    return {1e-4 * ((1 - f) * row.limit[i] + f * row.limit[i + 1]), 0.01 * std::max(row.band[i], row.band[i + 1])};
}

Value mixed(Value a, Value b, double f) { return {(1 - f) * a.limit + f * b.limit, std::max(a.band, b.band)}; }

}  // namespace

CaptureLimit tabled_capture_limit(double offset_m, double slope, double angle) noexcept {
    const double d = std::abs(offset_m);
    if (!(d < kHoleRadius) || !std::isfinite(slope) || !std::isfinite(angle)) return {};
    const double u = std::sqrt(1 - d / kHoleRadius);

    // Level is one row; each slope is a ring of rows.
    const double ring = angle * (offset_m < 0 ? -1 : 1) / (2 * kPi), turn = (ring - std::floor(ring)) * G::kAngles;
    const int a = static_cast<int>(turn) % G::kAngles, next = (a + 1) % G::kAngles;
    const auto at_slope = [&](int s) {
        if (s == 0) return along(kRows[0], u);
        const int first = 1 + (s - 1) * G::kAngles;
        return mixed(along(kRows[first + a], u), along(kRows[first + next], u), turn - std::floor(turn));
    };
    const double steep = std::min(std::abs(slope) / G::kSlopeStep, double(G::kSlopes));
    const int s = std::min(static_cast<int>(steep), G::kSlopes - 1);
    const Value value = steep == 0 ? at_slope(0) : mixed(at_slope(s), at_slope(s + 1), steep - s);
    return {value.limit, value.limit + value.band};
}

}  // namespace brae
