#include "core/base/units.h"
#include "core/terrain/slope.h"

#include <limits>

namespace brae {

SlopeRasters slope_rasters(const TerrainModel& model) {
    const Raster& h = model.grid.height;
    const Raster empty(h.columns, h.rows, h.x0, h.y0, h.cell, std::numeric_limits<double>::quiet_NaN());
    SlopeRasters out{empty, empty, empty};
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i) {
            if (!model.grid.has(i, j)) continue;
            const Vec2 c = h.centre(i, j);
            const SurfaceJet s = model.surface->jet(c.x, c.y);
            const double p = s.hx * s.hx + s.hy * s.hy, slope = std::sqrt(p);
            out.slope.at(i, j) = slope;
            if (slope < 1e-6) continue;
            out.aspect_deg.at(i, j) = bearing_deg({-s.hx, -s.hy});
            // Profile curvature (Zevenbergen and Thorne 1987, here of the curve's own arc), positive where it is hollow.
            out.profile_curvature.at(i, j) = (s.hx * s.hx * s.hxx + 2 * s.hx * s.hy * s.hxy + s.hy * s.hy * s.hyy) /
                                             (p * std::pow(1 + p, 1.5));
        }
    return out;
}

}  // namespace brae
