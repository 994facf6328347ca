// Surfaces that several tests of the solver share.
#pragma once

#include "core/base/random.h"
#include "core/survey/outline.h"
#include "core/terrain/spline_surface.h"
#include "tests/support/support.h"

#include <cmath>
#include <vector>

namespace brae::test {

inline Outline wide_green(double half = 12) {
    return Outline({{-half, -half}, {half, -half}, {half, half}, {-half, half}}, OutlineSource::drawn);
}

// A tilted plane with a few long waves: slopes to about 5 %.
inline Formula wavy(std::uint64_t seed, double steepness = 1) {
    Random random(seed);
    struct Wave { double a, kx, ky, phase; };
    std::vector<Wave> waves;
    const double sx = random.uniform(-0.02, 0.02) * steepness, sy = random.uniform(-0.02, 0.02) * steepness;
    for (int i = 0; i < 4; ++i) {
        const double length = random.uniform(5, 14), turn = random.uniform(0, 2 * kPi), k = 2 * kPi / length;
        waves.push_back({random.uniform(0.002, 0.008) * steepness / k, k * std::cos(turn), k * std::sin(turn),
                         random.uniform(0, 2 * kPi)});
    }
    return Formula([=](double x, double y) {
        SurfaceJet j{sx * x + sy * y, sx, sy, 0, 0, 0};
        for (const Wave& w : waves) {
            const double angle = w.kx * x + w.ky * y + w.phase, s = w.a * std::sin(angle), c = w.a * std::cos(angle);
            j.h += s;
            j.hx += c * w.kx;
            j.hy += c * w.ky;
            j.hxx -= s * w.kx * w.kx;
            j.hxy -= s * w.kx * w.ky;
            j.hyy -= s * w.ky * w.ky;
        }
        return j;
    });
}

// The same kind of ground as a spline with 0.25 m cells and a little roughness of its own.
inline SplineSurface rough_spline(std::uint64_t seed, double half = 13, double cell = 0.25) {
    const Formula base = wavy(seed);
    Random random(seed + 1000);
    const int n = static_cast<int>(2 * half / cell) + 4;
    SplineGrid grid{n, n, -half - cell, -half - cell, cell, {}};
    for (int j = 0; j < n; ++j)
        for (int i = 0; i < n; ++i)
            grid.coefficients.push_back(base.height(grid.x0 + i * cell, grid.y0 + j * cell) + 0.0003 * random.normal());
    return SplineSurface(grid);
}

// Two levels 0.35 m apart joined by a smooth tier along x = 0.
inline Formula tier(double height = 0.35, double width = 1.2) {
    return Formula([=](double x, double y) {
        const double t = std::tanh(x / width), d = 1 - t * t;
        return SurfaceJet{height / 2 * t + 0.005 * y, height / 2 * d / width, 0.005,
                          -height * t * d / (width * width), 0, 0};
    });
}

// A saddle: down to east and west, up to north and south.
inline Formula saddle(double k = 0.012) {
    return Formula([=](double x, double y) {
        return SurfaceJet{k / 2 * (y * y - x * x), -k * x, k * y, -k, 0, k};
    });
}

}  // namespace brae::test
