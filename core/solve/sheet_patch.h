// One bicubic Hermite patch of the sheet, between two rays and two nodes, and the place of a spot in it.
#pragma once

#include "core/base/vec.h"
#include "core/solve/quad_place.h"
#include "core/solve/ray_kernel.h"

#include <algorithm>
#include <cmath>

namespace brae {

// u runs from ray a to ray b, w from the nearer node to the farther one, both over [0, 1].
class SheetPatch {
public:
    SheetPatch(const RayNode& a0, const RayNode& a1, const RayNode& b0, const RayNode& b1, double width, double step)
        : a0_(a0), a1_(a1), b0_(b0), b1_(b1), width_(width), step_(step) {}

    // A box that holds the whole patch: that of its Bezier points.
    void box(Vec2& low, Vec2& high) const {
        double lo[2], hi[2];
        for (int c = 0; c < 2; ++c) {
            lo[c] = 1e300;
            hi[c] = -1e300;
            for (const auto& [n, su, sw] : {Corner{a0_, 1, 1}, Corner{a1_, 1, -1}, Corner{b0_, -1, 1}, Corner{b1_, -1, -1}}) {
                const double f = n.value[c], fu = su * width_ / 3 * n.by_parameter[c], fw = sw * step_ / 3 * n.by_s[c];
                const double fuw = su * sw * width_ * step_ / 9 * n.by_both[c];
                for (const double p : {f, f + fu, f + fw, f + fu + fw + fuw}) {
                    lo[c] = std::min(lo[c], p);
                    hi[c] = std::max(hi[c], p);
                }
            }
        }
        low = {lo[0], lo[1]};
        high = {hi[0], hi[1]};
    }

    // Does the sheet turn over within it, as far as its corners tell?
    bool folds() const {
        const auto turn = [](const RayNode& n) {
            return n.by_parameter[0] * n.by_s[1] - n.by_parameter[1] * n.by_s[0] > 0;
        };
        const bool first = turn(a0_);
        return turn(a1_) != first || turn(b0_) != first || turn(b1_) != first;
    }

    // Power coefficients of x and y; call before place().
    void prepare() {
        for (int c = 0; c < 2; ++c) {
            const double data[4][4] = {
                {a0_.value[c], a1_.value[c], step_ * a0_.by_s[c], step_ * a1_.by_s[c]},
                {b0_.value[c], b1_.value[c], step_ * b0_.by_s[c], step_ * b1_.by_s[c]},
                {width_ * a0_.by_parameter[c], width_ * a1_.by_parameter[c], width_ * step_ * a0_.by_both[c], width_ * step_ * a1_.by_both[c]},
                {width_ * b0_.by_parameter[c], width_ * b1_.by_parameter[c], width_ * step_ * b0_.by_both[c], width_ * step_ * b1_.by_both[c]}};
            double along[4][4];
            for (int r = 0; r < 4; ++r) cubic(data[r][0], data[r][1], data[r][2], data[r][3], along[r]);
            for (int k = 0; k < 4; ++k) {
                double across[4];
                cubic(along[0][k], along[1][k], along[2][k], along[3][k], across);
                for (int r = 0; r < 4; ++r) power_[c][r][k] = across[r];
            }
        }
    }

    // Newton from (u, w); false where it finds no place in the patch. Patient: in short steps, for patches that fold;
    // else a first step that leads well outside settles that the spot is not in it.
    bool place(Vec2 spot, double& u, double& w, bool patient) const {
        const double target[2] = {spot.x, spot.y};
        for (int n = 0; n < (patient ? 20 : 10); ++n) {
            double f[2], fu[2], fw[2];
            for (int c = 0; c < 2; ++c) {
                double r[4], rw[4];
                for (int k = 0; k < 4; ++k) {
                    const double* p = power_[c][k];
                    r[k] = ((p[3] * w + p[2]) * w + p[1]) * w + p[0];
                    rw[k] = (3 * p[3] * w + 2 * p[2]) * w + p[1];
                }
                f[c] = ((r[3] * u + r[2]) * u + r[1]) * u + r[0] - target[c];
                fu[c] = (3 * r[3] * u + 2 * r[2]) * u + r[1];
                fw[c] = ((rw[3] * u + rw[2]) * u + rw[1]) * u + rw[0];
            }
            const double det = fu[0] * fw[1] - fu[1] * fw[0];
            if (det == 0) return false;
            double du = (f[0] * fw[1] - f[1] * fw[0]) / det, dw = (fu[0] * f[1] - fu[1] * f[0]) / det;
            if (patient) {
                const double size = std::max(std::abs(du), std::abs(dw));
                if (size > 0.3) {
                    du *= 0.3 / size;
                    dw *= 0.3 / size;
                }
            }
            u -= du;
            w -= dw;
            const double limit = patient ? 1.0 : 0.9;
            if (!(std::abs(u - 0.5) < limit && std::abs(w - 0.5) < limit)) return false;
            // Newton squares its error: what is left after so small a step is rounding.
            if (std::abs(du) + std::abs(dw) < 1e-5) return u >= -1e-9 && u <= 1 + 1e-9 && w >= -1e-9 && w <= 1 + 1e-9;
        }
        return false;
    }

    // Place in the plain quad of the corners, with slack: where cubics do not serve, for a start. turn: -1, 0 or 1, the
    // side of the sheet.
    bool near(Vec2 spot, double slack, double& u, double& w, int& turn) const {
        const auto corner = [](const RayNode& n) { return Vec2{n.value[0], n.value[1]}; };
        QuadPlace at{u, w, turn};
        const bool inside = place_in_quad(spot, corner(a0_), corner(b0_), corner(a1_), corner(b1_), slack, 1e-6, at);
        u = at.u, w = at.w, turn = at.turn;
        return inside;
    }

    // The quantities c of the sheet at one place.
    struct Weights { double u[4], w[4]; };
    static Weights weights(double u, double w) {
        Weights out;
        basis(u, out.u);
        basis(w, out.w);
        return out;
    }
    double quantity(int c, const Weights& t) const {
        const double *u = t.u, *w = t.w;
        return u[0] * (w[0] * a0_.value[c] + w[1] * a1_.value[c] + step_ * (w[2] * a0_.by_s[c] + w[3] * a1_.by_s[c])) +
               u[1] * (w[0] * b0_.value[c] + w[1] * b1_.value[c] + step_ * (w[2] * b0_.by_s[c] + w[3] * b1_.by_s[c])) +
               width_ * (u[2] * (w[0] * a0_.by_parameter[c] + w[1] * a1_.by_parameter[c] + step_ * (w[2] * a0_.by_both[c] + w[3] * a1_.by_both[c])) +
                         u[3] * (w[0] * b0_.by_parameter[c] + w[1] * b1_.by_parameter[c] + step_ * (w[2] * b0_.by_both[c] + w[3] * b1_.by_both[c])));
    }
    Vec2 at(double u, double w) const {
        const Weights t = weights(u, w);
        return {quantity(kRayX, t), quantity(kRayY, t)};
    }

private:
    struct Corner { const RayNode& n; double su, sw; };
    // Power coefficients of the cubic with these values and slopes at 0 and 1.
    static void cubic(double f0, double f1, double d0, double d1, double* p) {
        p[0] = f0;
        p[1] = d0;
        p[2] = 3 * (f1 - f0) - 2 * d0 - d1;
        p[3] = 2 * (f0 - f1) + d0 + d1;
    }
    static void basis(double t, double* b) {
        const double t2 = t * t, t3 = t2 * t;
        b[1] = 3 * t2 - 2 * t3;
        b[0] = 1 - b[1];
        b[2] = t3 - 2 * t2 + t;
        b[3] = t3 - t2;
    }
    const RayNode &a0_, &a1_, &b0_, &b1_;
    double width_, step_;
    double power_[2][4][4];
};

}  // namespace brae
