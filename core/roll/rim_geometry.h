// The shape that a ball meets at the hole: a plane green, a plumb round hole in it, and the sharp edge between.
// Origin: centre of the hole in the green's plane; x horizontal towards uphill, z up. Metres.
#pragma once

#include "core/base/constants.h"
#include "core/base/vec.h"

#include <cmath>

namespace brae {

constexpr Vec3 cross(Vec3 a, Vec3 b) {
    return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

enum class Touch { green, rim, wall };

// The nearest point of the ground to the ball's centre, as distance and unit normal towards the centre.
struct Nearest {
    Touch where = Touch::green;
    double distance = 0;
    Vec3 normal;
    Vec3 edge;             // rim: derivative of the edge by its angle, m
    double edge_bend = 0;  // rim: |edge|^2 - (centre - point) . second derivative, m^2; wall: distance to the axis, m
};

// slope: rise over run of the green towards +x. The edge is x^2 + y^2 = R^2, z = slope x.
inline Nearest nearest_ground(double slope, Vec3 c) noexcept {
    const double rho2 = c.x * c.x + c.y * c.y, rho = std::sqrt(rho2);
    const double w = std::sqrt(1 + slope * slope), above = (c.z - slope * c.x) / w;

    // Straight down on the green, where the foot lies outside the hole.
    const double foot_x = c.x + above * slope / w;
    if (foot_x * foot_x + c.y * c.y >= kHoleRadius * kHoleRadius && above > 0)
        return {Touch::green, above, {-slope / w, 0, 1 / w}, {}, 0};

    // Straight out to the wall, where that point lies under the edge. On the axis any side is as near.
    double cs = rho > 0 ? c.x / rho : 1, sn = rho > 0 ? c.y / rho : 0;
    if (c.z <= slope * kHoleRadius * cs)
        return {Touch::wall, kHoleRadius - rho, {-cs, -sn, 0}, {}, rho};

    // The edge: its angle by Newton's method from that of the centre, which is exact on level ground.
    Vec3 q, d1, apart;
    double bend = 0;
    for (int k = 0; k < 6; ++k) {
        q = {kHoleRadius * cs, kHoleRadius * sn, slope * kHoleRadius * cs};
        d1 = {-kHoleRadius * sn, kHoleRadius * cs, -slope * kHoleRadius * sn};
        apart = c - q;
        bend = dot(d1, d1) + dot(apart, q);   // the second derivative is -q
        const double turn = dot(apart, d1) / bend;
        if (std::abs(turn) < 1e-15 || !(bend > 0)) break;
        const double c1 = cs - sn * turn, s1 = sn + cs * turn, n = std::sqrt(c1 * c1 + s1 * s1);
        cs = c1 / n;
        sn = s1 / n;
    }
    const double distance = norm(apart);
    return {Touch::rim, distance, (1 / distance) * apart, d1, bend};
}

// Rate at which the normal turns as the centre moves with v.
inline Vec3 normal_rate(const Nearest& at, Vec3 v) noexcept {
    switch (at.where) {
        case Touch::green: return {};
        case Touch::wall: {
            const Vec3 flat{v.x, v.y, 0};
            return (-1 / at.edge_bend) * (flat - dot(flat, at.normal) * at.normal);
        }
        case Touch::rim: break;
    }
    const Vec3 point_rate = (dot(at.edge, v) / at.edge_bend) * at.edge;
    return (1 / at.distance) * (v - dot(v, at.normal) * at.normal - point_rate);
}

}  // namespace brae
