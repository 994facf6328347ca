// Which point of the green lies under a pixel.
#pragma once

#include "app/scene/camera.h"
#include "core/terrain/terrain_model.h"

#include <optional>

namespace brae::app {

// First crossing of the ray (display space) with the green inside its outline: heights over z_ref times the
// exaggeration. Found by steps of 5 cm along the ground and halving, to 1e-7 m along the ray. Empty where it misses.
std::optional<Vec2> pick(const TerrainModel& terrain, double z_ref, double z_range, double exaggeration,
                         const PixelRay& ray);

}  // namespace brae::app
