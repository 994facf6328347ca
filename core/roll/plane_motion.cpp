#include "core/roll/plane_motion.h"

#include "core/base/constants.h"

#include <cmath>

namespace brae {

// Own derivation, docs/physics.md: with e = a_g / a_f, u = v^(...) eliminated by d psi / d ln v = e sin psi / (1 - e cos psi).
PlaneStop stop_on_plane(double v, double psi, double a_f, double a_g) noexcept {
    const double e = a_g / a_f, c = std::cos(psi), s = std::sin(psi);
    return {v * v * (2 * c + e * (1 + c * c)) / (4 * a_f * (1 - e * e)), v * v * s * (2 + e * c) / (a_f * (4 - e * e)),
            v / a_f * (1 + e * c) / (1 - e * e)};
}

double slope_ratio_to_grip(const SurfaceJet& jet, double level_decel) noexcept {
    // a_g / a_f = (5/7) g sin / (a_level cos).
    return kRollFactor * kGravity * std::sqrt(jet.hx * jet.hx + jet.hy * jet.hy) / level_decel;
}

TangentStop stop_on_tangent_plane(const SurfaceJet& jet, Vec2 v, double level_decel) noexcept {
    TangentStop out;
    out.e = slope_ratio_to_grip(jet, level_decel);
    const double speed = norm(v);
    if (out.e >= 1 || !(speed > 0)) return out;

    // Axes along the plane: x down the fall line, y to its left; the horizontal image of x is shorter by cos(theta).
    const Vec2 gradient{jet.hx, jet.hy};
    const double rise = norm(gradient), w = std::sqrt(1 + rise * rise);
    const Vec2 down = rise > 0 ? -gradient / rise : v / speed;
    const Vec2 left{-down.y, down.x};
    const double along = dot(v, down) * w, across = dot(v, left);
    const double size = std::sqrt(along * along + across * across);
    const PlaneStop stop =
        stop_on_plane(size, std::atan2(across, along), level_decel / w, kRollFactor * kGravity * rise / w);
    out.displacement = (stop.x / w) * down + stop.y * left;
    out.time_s = stop.t;
    return out;
}

}  // namespace brae
