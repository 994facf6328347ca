// Notices where a path crosses the outline, at little cost: within the distance to the edge nothing is tested.
#pragma once

#include "core/roll/ball_motion.h"
#include "core/survey/outline.h"

#include <algorithm>
#include <cmath>

namespace brae {

class EdgeWatch {
public:
    // An empty outline has no edge. `start` lies inside.
    EdgeWatch(const Outline& outline, Vec2 start) : outline_(outline) {
        if (!outline_.empty()) safe_ = std::max(0.0, outline_.signed_distance(start));
        on_edge_ = !outline_.empty() && safe_ < 1e-9;
    }

    // Fraction of the (prepared) step at which the path first leaves, or 2 where it stays inside.
    template <class Solver>
    double leaves(const Solver& step) {
        constexpr double kInside = 2;
        if (outline_.empty()) return kInside;
        const double s1 = step.y1[4];
        if (s1 - anchor_ < safe_) return kInside;

        // Chords of at most 2 cm, so that no bay is jumped; the first that leaves is halved to the crossing.
        const int n = 1 + static_cast<int>((s1 - step.y0[4]) / 0.02);
        Vec2 a = position(step.y0);
        for (int i = 0; i < n; ++i) {
            const double t1 = double(i + 1) / n;
            const Vec2 b = i + 1 == n ? position(step.y1) : position(step.at(t1));
            if (chord_leaves(a, b)) {
                double lo = double(i) / n, hi = t1;
                for (int k = 0; k < 60 && (hi - lo) * (s1 - step.y0[4]) > 1e-11; ++k) {
                    const double mid = 0.5 * (lo + hi);
                    (chord_leaves(a, position(step.at(mid))) ? hi : lo) = mid;
                }
                return lo;
            }
            a = b;
            on_edge_ = false;
        }
        anchor_ = s1;
        safe_ = outline_.signed_distance(a);
        return kInside;
    }

private:
    // A ball that starts on the edge itself touches it without leaving.
    bool chord_leaves(Vec2 a, Vec2 b) const {
        return on_edge_ ? !outline_.contains(b) : outline_.segment_leaves(a, b);
    }
    const Outline& outline_;
    double anchor_ = 0, safe_ = 0;
    bool on_edge_ = false;
};

}  // namespace brae
