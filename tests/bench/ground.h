// The green that the benchmarks run on: 30 x 30 m of long waves with slopes to about 5 %, as a spline of 0.25 m cells.
#pragma once

#include "core/base/constants.h"
#include "core/base/random.h"
#include "core/survey/outline.h"
#include "core/terrain/spline_surface.h"

#include <cmath>
#include <vector>

namespace brae::bench {

// roughness_m: standard deviation of independent errors of the coefficients; a fitted survey has about 0.0001.
inline SplineSurface ground(std::uint64_t seed, double roughness_m, double half = 15, double cell = 0.25) {
    Random random(seed);
    struct Wave { double a, kx, ky, phase; };
    std::vector<Wave> waves;
    const double sx = random.uniform(-0.02, 0.02), sy = random.uniform(-0.02, 0.02);
    for (int i = 0; i < 4; ++i) {
        const double length = random.uniform(5, 14), turn = random.uniform(0, 2 * kPi), k = 2 * kPi / length;
        waves.push_back({random.uniform(0.002, 0.008) / k, k * std::cos(turn), k * std::sin(turn), random.uniform(0, 2 * kPi)});
    }
    const double reach = half + 1;
    const int n = static_cast<int>(2 * reach / cell) + 4;
    SplineGrid grid{n, n, -reach - cell, -reach - cell, cell, {}};
    for (int j = 0; j < n; ++j)
        for (int i = 0; i < n; ++i) {
            const double x = grid.x0 + i * cell, y = grid.y0 + j * cell;
            double h = sx * x + sy * y + roughness_m * random.normal();
            for (const Wave& w : waves) h += w.a * std::sin(w.kx * x + w.ky * y + w.phase);
            grid.coefficients.push_back(h);
        }
    return SplineSurface(std::move(grid));
}

inline Outline square(double half = 15) {
    return Outline({{-half, -half}, {half, -half}, {half, half}, {-half, half}}, OutlineSource::drawn);
}

}  // namespace brae::bench
