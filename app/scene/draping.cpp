#include "app/scene/draping.h"

#include "core/base/constants.h"

#include <algorithm>
#include <cmath>

namespace brae::app {
namespace {

bool finite(Vec2 p) { return std::isfinite(p.x) && std::isfinite(p.y); }

// Divides a triangle until its sides are short enough to lie on the ground.
void divide(const TerrainModel& terrain, Vec2 a, Vec2 b, Vec2 c, int depth, std::vector<Vec3>& out) {
    const double ab = distance(a, b), bc = distance(b, c), ca = distance(c, a);
    const double longest = std::max({ab, bc, ca});
    if (depth == 0 || longest < 0.5) {
        for (Vec2 p : {a, b, c}) out.push_back(drape(terrain, p));
        return;
    }
    // The longest side is halved.
    if (longest == bc) {
        std::swap(a, c);
    } else if (longest == ca) {
        std::swap(b, c);
    }
    const Vec2 m = 0.5 * (a + b);
    divide(terrain, a, m, c, depth - 1, out);
    divide(terrain, m, b, c, depth - 1, out);
}

}  // namespace

Vec3 drape(const TerrainModel& terrain, Vec2 p) {
    const Vec2 q = terrain.outline.empty() || terrain.outline.contains(p) ? p : terrain.outline.nearest_edge_point(p);
    return {p.x, p.y, terrain.surface->height(q.x, q.y)};
}

std::vector<Vec3> drape(const TerrainModel& terrain, const std::vector<Vec2>& points, double step) {
    std::vector<Vec3> out;
    const Vec2* last = nullptr;
    for (const Vec2& p : points) {
        if (!finite(p)) continue;
        const int parts = last ? std::clamp(static_cast<int>(std::ceil(distance(*last, p) / step)), 1, 2000) : 1;
        for (int k = 1; k < parts; ++k) out.push_back(drape(terrain, *last + (static_cast<double>(k) / parts) * (p - *last)));
        out.push_back(drape(terrain, p));
        last = &p;
    }
    return out;
}

std::vector<Vec2> circle_points(Vec2 centre, double radius, int parts) {
    std::vector<Vec2> out;
    for (int k = 0; k <= parts; ++k) {
        const double a = 2 * kPi * (k % parts) / parts;
        out.push_back(centre + radius * Vec2{std::cos(a), std::sin(a)});
    }
    return out;
}

std::vector<Vec3> fill_ring(const TerrainModel& terrain, const std::vector<Vec2>& ring) {
    // Counter-clockwise, finite, without a repeated end.
    std::vector<Vec2> left;
    for (Vec2 p : ring)
        if (finite(p) && (left.empty() || !(left.back() == p))) left.push_back(p);
    if (left.size() > 1 && left.front() == left.back()) left.pop_back();
    double twice = 0;
    for (std::size_t k = 0; k < left.size(); ++k) twice += cross(left[k], left[(k + 1) % left.size()]);
    if (twice < 0) std::reverse(left.begin(), left.end());

    // Ears: a corner that turns left and holds no other point. Where none is found the rest is given up.
    std::vector<Vec3> out;
    while (left.size() >= 3) {
        const std::size_t n = left.size();
        bool cut = false;
        for (std::size_t k = 0; k < n && !cut; ++k) {
            const Vec2 a = left[(k + n - 1) % n], b = left[k], c = left[(k + 1) % n];
            if (cross(b - a, c - b) <= 0) continue;
            const bool empty = std::none_of(left.begin(), left.end(), [&](Vec2 p) {
                if (p == a || p == b || p == c) return false;
                return cross(b - a, p - a) > 0 && cross(c - b, p - b) > 0 && cross(a - c, p - c) > 0;
            });
            if (!empty) continue;
            divide(terrain, a, b, c, 12, out);
            left.erase(left.begin() + static_cast<std::ptrdiff_t>(k));
            cut = true;
        }
        if (!cut) break;
    }
    return out;
}

}  // namespace brae::app
