// Finds the rays of a family that pass a ball spot, in the quads between neighbours.
#include "core/solve/ray_family.h"

#include "core/base/constants.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr double kSlack = 0.3;   // part of a quad by which its straight sides may mislead

struct Candidate { RayHit hit; std::size_t ray, point; bool inside; int sense; };

// Place of q in the bilinear quad a b / c d (u from a to b, w from a to c); false where it has no answer near.
bool place_in_quad(Vec2 a, Vec2 b, Vec2 c, Vec2 d, Vec2 q, double& u, double& w, double& det) {
    u = w = 0.5;
    for (int k = 0; k < 8; ++k) {
        const Vec2 low = a + u * (b - a), high = c + u * (d - c);
        const Vec2 miss = low + w * (high - low) - q;
        const Vec2 pu = (1 - w) * (b - a) + w * (d - c), pw = high - low;
        det = cross(pu, pw);
        if (det == 0) return false;
        const double du = cross(miss, pw) / det, dw = cross(pu, miss) / det;
        u -= du;
        w -= dw;
        if (!(std::abs(u) < 4 && std::abs(w) < 4)) return false;
        if (std::abs(du) + std::abs(dw) < 1e-9) return true;
    }
    return true;
}

}  // namespace

std::vector<RayHit> hits_at(const RayFamily& family, Vec2 ball) {
    std::vector<Candidate> found;
    for (std::size_t i = 0; i < family.rays.size(); ++i) {
        const bool last = i + 1 == family.rays.size();
        const Ray& left = family.rays[i];
        const Ray& right = family.rays[last ? 0 : i + 1];
        const double p0 = left.parameter, p1 = right.parameter + (last ? 2 * kPi : 0);
        const std::size_t n = std::min(left.points.size(), right.points.size());
        for (std::size_t k = 0; k + 1 < n; ++k) {
            const Vec2 a = left.points[k].p, b = right.points[k].p;
            const Vec2 c = left.points[k + 1].p, d = right.points[k + 1].p;
            // Far from the box of the quad there is nothing.
            const double x0 = std::min({a.x, b.x, c.x, d.x}), x1 = std::max({a.x, b.x, c.x, d.x});
            const double y0 = std::min({a.y, b.y, c.y, d.y}), y1 = std::max({a.y, b.y, c.y, d.y});
            const double slack = kSlack * std::max(x1 - x0, y1 - y0);
            if (ball.x < x0 - slack || ball.x > x1 + slack || ball.y < y0 - slack || ball.y > y1 + slack) continue;

            double u, w, det;
            if (!place_in_quad(a, b, c, d, ball, u, w, det)) {
                // A quad folded on itself has no place to name; its middle is a start if the spot is in its box.
                if (ball.x < x0 || ball.x > x1 || ball.y < y0 || ball.y > y1) continue;
                u = w = 0.5;
                det = 0;
            }
            if (u < -kSlack || u > 1 + kSlack || w < -kSlack || w > 1 + kSlack) continue;
            const double s0 = left.points[k].s + u * (right.points[k].s - left.points[k].s);
            const double s1 = left.points[k + 1].s + u * (right.points[k + 1].s - left.points[k + 1].s);
            const bool inside = u >= 0 && u <= 1 && w >= 0 && w <= 1;
            found.push_back({{p0 + u * (p1 - p0), s0 + w * (s1 - s0)}, i, k, inside, det > 0 ? 1 : det < 0 ? -1 : 0});
        }
    }

    // The same solution shows in the slack of the quads around its own: keep one of each sheet.
    std::stable_sort(found.begin(), found.end(), [](const Candidate& a, const Candidate& b) { return a.inside > b.inside; });
    std::vector<RayHit> hits;
    std::vector<Candidate> kept;
    const std::size_t rays = family.rays.size();
    for (const Candidate& c : found) {
        const bool known = std::any_of(kept.begin(), kept.end(), [&](const Candidate& o) {
            const std::size_t gap = c.ray > o.ray ? c.ray - o.ray : o.ray - c.ray;
            const std::size_t along = c.point > o.point ? c.point - o.point : o.point - c.point;
            return c.sense == o.sense && std::min(gap, rays - gap) <= 1 && along <= 1;
        });
        if (known) continue;
        kept.push_back(c);
        hits.push_back(c.hit);
    }
    return hits;
}

}  // namespace brae
