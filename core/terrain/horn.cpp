#include "core/terrain/slope.h"

#include <limits>

namespace brae {

// B. K. P. Horn, "Hill shading and the reflectance map", Proc. IEEE 69(1):14-47, 1981.
Raster horn_slope(const Raster& height, const std::vector<unsigned char>& mask) {
    Raster out(height.columns, height.rows, height.x0, height.y0, height.cell, std::numeric_limits<double>::quiet_NaN());
    for (int j = 1; j + 1 < height.rows; ++j)
        for (int i = 1; i + 1 < height.columns; ++i) {
            bool whole = true;
            for (int dj = -1; dj <= 1; ++dj)
                for (int di = -1; di <= 1; ++di) whole = whole && (mask.empty() || mask[height.index(i + di, j + dj)]);
            if (!whole) continue;
            const auto z = [&](int di, int dj) { return height.at(i + di, j + dj); };
            const double gx = (z(1, 1) + 2 * z(1, 0) + z(1, -1)) - (z(-1, 1) + 2 * z(-1, 0) + z(-1, -1));
            const double gy = (z(-1, 1) + 2 * z(0, 1) + z(1, 1)) - (z(-1, -1) + 2 * z(0, -1) + z(1, -1));
            out.at(i, j) = std::sqrt(gx * gx + gy * gy) / (8 * height.cell);
        }
    return out;
}

}  // namespace brae
