// Terrain models from formulas, for tests that want the exact ground.
#pragma once

#include "core/base/constants.h"
#include "core/terrain/terrain_model.h"

#include <cmath>
#include <functional>
#include <memory>
#include <vector>

namespace brae::test {

using Height = std::function<double(double x, double y)>;

inline Outline ellipse(Vec2 centre, double half_width, double half_height, int corners = 144) {
    std::vector<Vec2> ring;
    for (int k = 0; k < corners; ++k) {
        const double a = 2 * kPi * k / corners;
        ring.push_back({centre.x + half_width * std::cos(a), centre.y + half_height * std::sin(a)});
    }
    return Outline(ring, OutlineSource::drawn);
}

// The spline through a formula: coefficients f - cell^2/6 * laplacian f, with the laplacian from differences over one
// cell. Exact for planes and quadratics, fourth-order close elsewhere.
inline TerrainModel green_of(const Height& f, const Outline& outline, double cell = 0.25) {
    TerrainModel model;
    model.outline = outline;
    const Box& box = outline.box();
    SplineGrid g;
    g.cell = cell;
    g.x0 = box.x0 - 4 * cell;
    g.y0 = box.y0 - 4 * cell;
    g.columns = static_cast<int>(box.width() / cell) + 9;
    g.rows = static_cast<int>(box.height() / cell) + 9;
    for (int j = 0; j < g.rows; ++j)
        for (int i = 0; i < g.columns; ++i) {
            const double x = g.x0 + i * cell, y = g.y0 + j * cell, h = f(x, y);
            const double differences = f(x + cell, y) + f(x - cell, y) + f(x, y + cell) + f(x, y - cell) - 4 * h;
            g.coefficients.push_back(h - differences / 6);
        }
    model.surface = std::make_shared<SplineSurface>(g);

    // The rasters that maps and reports read.
    const int columns = static_cast<int>(box.width() / cell) + 1, rows = static_cast<int>(box.height() / cell) + 1;
    model.grid.height = Raster(columns, rows, box.x0, box.y0, cell);
    model.grid.height_se = Raster(columns, rows, box.x0, box.y0, cell, 0.001);
    model.grid.slope_se = Raster(columns, rows, box.x0, box.y0, cell, 0.001);
    model.grid.mask.assign(model.grid.height.values.size(), 0);
    for (int j = 0; j < rows; ++j)
        for (int i = 0; i < columns; ++i) {
            const Vec2 p = model.grid.height.centre(i, j);
            if (!outline.contains(p)) continue;
            model.grid.height.at(i, j) = model.surface->height(p.x, p.y);
            model.grid.mask[model.grid.height.index(i, j)] = 1;
        }
    model.noise_m = 0.003;
    model.error = {0.0005, 1.0, 0.001, 3.0};
    return model;
}

inline Height tilted(double slope, Vec2 downhill) {
    return [=](double x, double y) { return 100 - slope * (downhill.x * x + downhill.y * y); };
}

// Three greens in the manner of those that people play: a gentle tilt, two tiers, a crown with a swale.
inline TerrainModel gentle_green() { return green_of(tilted(0.02, {0.6, -0.8}), ellipse({14, 12}, 13, 11)); }
inline TerrainModel tiered_green() {
    return green_of([](double, double y) { return 100 + 0.012 * y + 0.45 / (1 + std::exp(-(y - 13) / 0.9)); },
                    ellipse({13, 14}, 11, 13));
}
inline TerrainModel crowned_green() {
    return green_of([](double x, double y) {
        const double r2 = (x - 13) * (x - 13) + (y - 12) * (y - 12);
        return 100 - 0.0016 * r2 - 0.10 * std::exp(-((x - 18) * (x - 18)) / 8.0);
    }, ellipse({13, 12}, 12, 11));
}

}  // namespace brae::test
