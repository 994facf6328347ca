#include "app/scene/canvas.h"

#include "app/scene/draping.h"

#include <algorithm>
#include <cmath>

namespace brae::app {
namespace {

constexpr float kCasing = 1.25f;  // px of light rim, so that lines read on any ground

bool finite(Vec2 p) { return std::isfinite(p.x) && std::isfinite(p.y); }

}  // namespace

void SceneCanvas::label(Vec2 p, const std::string& text, const Colour& colour, plugin::TextAnchor anchor, float gap) {
    if (text.empty() || !finite(p)) return;
    scene_.labels.push_back({drape(terrain_, p), text, anchor, colour, 2, gap, false, false});
}

void SceneCanvas::polyline(const std::vector<Vec2>& points, const plugin::Stroke& stroke, const std::string& text) {
    Line line{drape(terrain_, points), stroke, kCasing, 1, true};
    if (line.points.size() < 2) return;
    // The label stands at the middle of the line.
    const Vec3 middle = line.points[line.points.size() / 2];
    scene_.lines.push_back(std::move(line));
    label({middle.x, middle.y}, text, stroke.colour, plugin::TextAnchor::right, 8);
}

void SceneCanvas::polygon(const std::vector<Vec2>& ring, const Colour& fill, const plugin::Stroke& stroke,
                          const std::string& text) {
    if (ring.size() < 3) return;
    if (fill.a > 0) scene_.fills.push_back({fill_ring(terrain_, ring), fill});
    std::vector<Vec2> closed = ring;
    closed.push_back(ring.front());
    scene_.lines.push_back({drape(terrain_, closed), stroke, kCasing, 1, true});
    Vec2 sum;
    for (Vec2 p : ring) sum = sum + p;
    label(sum / static_cast<double>(ring.size()), text, stroke.colour, plugin::TextAnchor::centre, 0);
}

void SceneCanvas::disc(Vec2 centre, double radius, const Colour& fill) {
    if (finite(centre) && radius > 0) scene_.fills.push_back({fill_ring(terrain_, circle_points(centre, radius)), fill});
}

void SceneCanvas::circle(Vec2 centre, double radius, const plugin::Stroke& stroke, const std::string& text) {
    if (!finite(centre) || !(radius > 0)) return;
    // Large circles, such as tapes, are round as well.
    const int parts = std::clamp(static_cast<int>(12 * radius), 48, 240);
    scene_.lines.push_back({drape(terrain_, circle_points(centre, radius, parts)), stroke, kCasing, 1, true});
    label(centre + Vec2{0, radius}, text, stroke.colour, plugin::TextAnchor::above, 4);
}

void SceneCanvas::marker(Vec2 p, plugin::MarkerShape shape, const Colour& colour, float size, const std::string& text) {
    if (!finite(p)) return;
    scene_.markers.push_back({drape(terrain_, p), shape, colour, size});
    label(p, text, colour, plugin::TextAnchor::right, size / 2 + 4);
}

void SceneCanvas::text(Vec2 p, const std::string& text, plugin::TextAnchor anchor, const Colour& colour) {
    label(p, text, colour, anchor, 4);
}

void SceneCanvas::raster(const plugin::OverlayRaster& raster) {
    if (raster.values && !raster.values->empty() && takes_raster_) scene_.raster = raster;
}

}  // namespace brae::app
