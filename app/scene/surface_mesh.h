// The ground of a green as triangles, from the spline.
#pragma once

#include "app/scene/shapes.h"
#include "core/terrain/terrain_model.h"

#include <memory>

namespace brae::app {

// Spacing of the vertices so that there are about 60,000 of them, between 0.08 and 0.5 m.
double display_step(const Box& box);

// A grid over the outline's box, one cell beyond; cells wholly outside or without data are left out. Never throws for
// a terrain with a surface and an outline.
std::shared_ptr<const SurfaceMesh> build_surface_mesh(const TerrainModel& terrain, double step_m);

// The outline's points with their heights over z_ref: what a camera fits into the view.
std::vector<Vec3> points_to_fit(const TerrainModel& terrain, const SurfaceMesh& mesh,
                                const std::vector<ReferenceMark>& marks);

}  // namespace brae::app
