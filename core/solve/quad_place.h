// Where a spot lies in a quad: the inverse of the bilinear map of its corners.
#pragma once

#include "core/base/vec.h"

#include <cmath>

namespace brae {

// spot = (1-w) [(1-u) a + u b] + w [(1-u) c + u d]. `turn` is 1 where a, b, c run counter-clockwise there, else -1: the side of
// a sheet that may fold over.
struct QuadPlace { double u = 0.5, w = 0.5; int turn = 0; };

// By Newton's method from the middle, at most eight steps, until u and w move by less than `tolerance`. False where the spot
// lies more than `slack` of a side outside, or the quad has no area there.
inline bool place_in_quad(Vec2 spot, Vec2 a, Vec2 b, Vec2 c, Vec2 d, double slack, double tolerance, QuadPlace& at) {
    at.u = at.w = 0.5;
    for (int k = 0; k < 8; ++k) {
        const Vec2 low = a + at.u * (b - a), high = c + at.u * (d - c), miss = low + at.w * (high - low) - spot;
        const Vec2 pu = (1 - at.w) * (b - a) + at.w * (d - c), pw = high - low;
        const double det = cross(pu, pw);
        if (det == 0) return false;
        at.turn = det > 0 ? 1 : -1;
        const double du = cross(miss, pw) / det, dw = cross(pu, miss) / det;
        at.u -= du;
        at.w -= dw;
        if (!(std::abs(at.u) < 4 && std::abs(at.w) < 4)) return false;
        if (std::abs(du) + std::abs(dw) < tolerance) break;
    }
    return std::abs(at.u - 0.5) <= 0.5 + slack && std::abs(at.w - 0.5) <= 0.5 + slack;
}

}  // namespace brae
