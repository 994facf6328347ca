// The canvas that plugins draw on: turns flat shapes into draped ones of the scene.
#pragma once

#include "app/scene/shapes.h"
#include "core/terrain/terrain_model.h"

namespace brae::app {

// Appends to a scene; shapes with numbers that are not finite are left out.
class SceneCanvas final : public plugin::OverlayCanvas {
public:
    SceneCanvas(Scene& scene, const TerrainModel& terrain, bool takes_raster)
        : scene_(scene), terrain_(terrain), takes_raster_(takes_raster) {}

    void polyline(const std::vector<Vec2>& points, const plugin::Stroke& stroke, const std::string& label) override;
    void polygon(const std::vector<Vec2>& ring, const Colour& fill, const plugin::Stroke& stroke,
                 const std::string& label) override;
    void disc(Vec2 centre, double radius_m, const Colour& fill) override;
    void circle(Vec2 centre, double radius_m, const plugin::Stroke& stroke, const std::string& label) override;
    void marker(Vec2 p, plugin::MarkerShape shape, const Colour& colour, float size_px, const std::string& label) override;
    void text(Vec2 p, const std::string& text, plugin::TextAnchor anchor, const Colour& colour) override;
    void raster(const plugin::OverlayRaster& raster) override;

private:
    void label(Vec2 p, const std::string& text, const Colour& colour, plugin::TextAnchor anchor, float gap_px);
    Scene& scene_;
    const TerrainModel& terrain_;
    bool takes_raster_;
};

}  // namespace brae::app
