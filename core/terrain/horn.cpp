#include "core/terrain/slope.h"

#include <algorithm>
#include <limits>
#include <tbb/parallel_for.h>

namespace brae {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

// One row from the rows below, at and above it; plain loops over arrays, so that the compiler works on several cells at a time.
void slope_row(const double* __restrict below, const double* __restrict here, const double* __restrict above, int columns,
               double scale, double* __restrict out) {
    for (int i = 1; i + 1 < columns; ++i) {
        const double gx = (above[i + 1] + 2 * here[i + 1] + below[i + 1]) - (above[i - 1] + 2 * here[i - 1] + below[i - 1]);
        const double gy = (above[i - 1] + 2 * above[i] + above[i + 1]) - (below[i - 1] + 2 * below[i] + below[i + 1]);
        out[i] = std::sqrt(gx * gx + gy * gy) * scale;
    }
    out[0] = out[columns - 1] = kNone;
}

// Cells of which one of the nine has no data lose their slope.
void strike_row(const unsigned char* __restrict below, const unsigned char* __restrict here, const unsigned char* __restrict above,
                int columns, double* __restrict out) {
    for (int i = 1; i + 1 < columns; ++i) {
        const bool whole = below[i - 1] && below[i] && below[i + 1] && here[i - 1] && here[i] && here[i + 1] && above[i - 1] &&
                           above[i] && above[i + 1];
        if (!whole) out[i] = kNone;
    }
}

}  // namespace

// B. K. P. Horn, "Hill shading and the reflectance map", Proc. IEEE 69(1):14-47, 1981.
void horn_slope(const Raster& height, const std::vector<unsigned char>& mask, Raster& out) {
    const int columns = height.columns, rows = height.rows;
    out.columns = columns, out.rows = rows;
    out.x0 = height.x0, out.y0 = height.y0, out.cell = height.cell;
    out.values.resize(height.values.size());
    if (out.values.empty()) return;
    if (columns < 3 || rows < 3) {
        std::fill(out.values.begin(), out.values.end(), kNone);
        return;
    }
    std::fill_n(out.values.data(), columns, kNone);
    std::fill_n(out.values.data() + out.index(0, rows - 1), columns, kNone);
    tbb::parallel_for(tbb::blocked_range<int>(1, rows - 1, 32), [&](const tbb::blocked_range<int>& part) {
        for (int j = part.begin(); j < part.end(); ++j) {
            const auto row = [&](int k) { return height.values.data() + height.index(0, k); };
            double* to = out.values.data() + out.index(0, j);
            slope_row(row(j - 1), row(j), row(j + 1), columns, 1 / (8 * height.cell), to);
            const auto known = [&](int k) { return mask.data() + height.index(0, k); };
            if (!mask.empty()) strike_row(known(j - 1), known(j), known(j + 1), columns, to);
        }
    });
}

Raster horn_slope(const Raster& height, const std::vector<unsigned char>& mask) {
    Raster out;
    horn_slope(height, mask, out);
    return out;
}

}  // namespace brae
