#include "app/scene/picking.h"

#include <algorithm>
#include <cmath>

namespace brae::app {

std::optional<Vec2> pick(const TerrainModel& terrain, double z_ref, double z_range, double exaggeration,
                         const PixelRay& ray) {
    // The part of the ray inside the box round the green, with room over and under it.
    const Box& box = terrain.outline.box();
    double t0 = 0, t1 = 1e4;
    const auto clip = [&](double o, double d, double low, double high) {
        if (std::abs(d) < 1e-12) return o >= low && o <= high;
        const double a = (low - o) / d, b = (high - o) / d;
        t0 = std::max(t0, std::min(a, b));
        t1 = std::min(t1, std::max(a, b));
        return t0 <= t1;
    };
    const double room = 0.05 + 0.1 * z_range * exaggeration;
    if (!clip(ray.origin.x, ray.direction.x, box.x0, box.x1) || !clip(ray.origin.y, ray.direction.y, box.y0, box.y1) ||
        !clip(ray.origin.z, ray.direction.z, -room, z_range * exaggeration + room))
        return std::nullopt;

    // Height of the ray over the ground.
    const auto over = [&](double t) {
        const Vec3 p = ray.origin + t * ray.direction;
        return p.z - (terrain.surface->height(p.x, p.y) - z_ref) * exaggeration;
    };
    const auto ground = [&](double t) { return Vec2{ray.origin.x + t * ray.direction.x, ray.origin.y + t * ray.direction.y}; };

    // Walk, and where the ray goes under the ground inside the outline, halve.
    const double flat = std::hypot(ray.direction.x, ray.direction.y);
    const int steps = std::clamp(static_cast<int>(std::ceil((t1 - t0) * std::max(flat, 0.05) / 0.05)), 2, 4000);
    double a = t0, fa = over(t0);
    for (int k = 1; k <= steps; ++k) {
        const double b = t0 + (t1 - t0) * k / steps, fb = over(b);
        if (fa >= 0 && fb < 0) {
            double low = a, high = b;
            for (int n = 0; n < 60 && high - low > 1e-7; ++n) (over((low + high) / 2) >= 0 ? low : high) = (low + high) / 2;
            const Vec2 p = ground((low + high) / 2);
            if (terrain.outline.contains(p)) return p;
        }
        a = b;
        fa = fb;
    }
    return std::nullopt;
}

std::optional<Vec2> pick_beside(const TerrainModel& terrain, double z_ref, double exaggeration, const PixelRay& ray) {
    constexpr double kReach = 20;
    const Outline& outline = terrain.outline;
    if (outline.empty() || ray.direction.z > -1e-3) return std::nullopt;
    // Down to the level of the nearest edge, which depends on the place: a few rounds settle it.
    Vec2 edge = outline.centroid(), p;
    for (int k = 0; k < 12; ++k) {
        const double z = (terrain.surface->height(edge.x, edge.y) - z_ref) * exaggeration;
        const double t = (z - ray.origin.z) / ray.direction.z;
        if (!(t > 0) || t > 1e4) return std::nullopt;
        p = {ray.origin.x + t * ray.direction.x, ray.origin.y + t * ray.direction.y};
        if (distance(p, outline.centroid()) > 1e4) return std::nullopt;
        const Vec2 next = outline.nearest_edge_point(p);
        if (k > 0 && distance(next, edge) < 1e-4) break;
        edge = next;
    }
    if (outline.contains(p) || distance(p, edge) > kReach) return std::nullopt;
    return p;
}

}  // namespace brae::app
