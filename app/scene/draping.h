// Laying flat shapes over the ground.
#pragma once

#include "app/scene/shapes.h"
#include "core/terrain/terrain_model.h"

#include <vector>

namespace brae::app {

// Heights under the points; points outside the green take the height of the nearest edge. Pieces longer than step_m
// are divided so that the line follows the ground. Points that are not finite are left out.
std::vector<Vec3> drape(const TerrainModel& terrain, const std::vector<Vec2>& points, double step_m = 0.15);
Vec3 drape(const TerrainModel& terrain, Vec2 p);

// Points of a circle, closed (first = last).
std::vector<Vec2> circle_points(Vec2 centre, double radius_m, int parts = 48);

// A filled ring as draped triangles: ears cut off a simple polygon, then divided to follow the ground.
// A ring that crosses itself gives a filling without meaning but no failure.
std::vector<Vec3> fill_ring(const TerrainModel& terrain, const std::vector<Vec2>& ring);

}  // namespace brae::app
