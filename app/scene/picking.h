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

// The place beside the green under a pixel, up to 20 m from the edge, where the ground is taken to go on level with the
// nearest edge, as shapes are draped there. Empty on the green, farther off, and where the ray does not come down.
std::optional<Vec2> pick_beside(const TerrainModel& terrain, double z_ref, double exaggeration, const PixelRay& ray);

}  // namespace brae::app
