#include "core/survey/ring.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace brae {

namespace {

bool overlap(const Box& a, const Box& b) { return a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1; }

// The boxes of a ring's sides in a binary tree by index: neighbours along the ring lie near one another, so the boxes of
// whole stretches are small.
class SideTree {
public:
    explicit SideTree(const std::vector<Vec2>& ring) : ring_(ring) {
        while (leaves_ < ring.size()) leaves_ *= 2;
        boxes_.assign(2 * leaves_, box_of({}));
        for (std::size_t k = 0; k < ring.size(); ++k) boxes_[leaves_ + k] = box_of({ring[k], end_of(k)});
        for (std::size_t node = leaves_ - 1; node > 0; --node) {
            const Box &a = boxes_[2 * node], &b = boxes_[2 * node + 1];
            boxes_[node] = {std::min(a.x0, b.x0), std::min(a.y0, b.y0), std::max(a.x1, b.x1), std::max(a.y1, b.y1)};
        }
    }

    // The lowest side from `from` on, before `until`, that meets the segment p-q.
    std::optional<std::size_t> first_meeting(Vec2 p, Vec2 q, std::size_t from, std::size_t until) const {
        return search(1, 0, leaves_, p, q, box_of({p, q}), from, until);
    }

private:
    Vec2 end_of(std::size_t k) const { return ring_[k + 1 < ring_.size() ? k + 1 : 0]; }

    std::optional<std::size_t> search(std::size_t node, std::size_t begin, std::size_t end, Vec2 p, Vec2 q, const Box& box,
                                      std::size_t from, std::size_t until) const {
        if (end <= from || begin >= until || !overlap(boxes_[node], box)) return std::nullopt;
        if (end - begin == 1)
            return segments_meet(p, q, ring_[begin], end_of(begin)) ? std::optional(begin) : std::nullopt;
        const std::size_t middle = (begin + end) / 2;
        if (const auto k = search(2 * node, begin, middle, p, q, box, from, until)) return k;
        return search(2 * node + 1, middle, end, p, q, box, from, until);
    }

    const std::vector<Vec2>& ring_;
    std::size_t leaves_ = 1;
    std::vector<Box> boxes_;
};

}  // namespace

double signed_area(const std::vector<Vec2>& ring) {
    double twice = 0;
    for (std::size_t i = 0, n = ring.size(); i < n; ++i) twice += cross(ring[i] - ring[0], ring[(i + 1) % n] - ring[0]);
    return twice / 2;
}

Vec2 ring_centroid(const std::vector<Vec2>& ring) {
    if (ring.empty()) return {};
    Vec2 sum, corners;
    for (std::size_t i = 0, n = ring.size(); i < n; ++i) {
        const Vec2 a = ring[i] - ring[0], b = ring[(i + 1) % n] - ring[0];
        sum = sum + cross(a, b) * (a + b);
        corners = corners + a;
    }
    const double area = signed_area(ring);
    return ring[0] + (area != 0 ? sum / (6 * area) : corners / static_cast<double>(ring.size()));
}

int side_of_ring(const std::vector<Vec2>& ring, Vec2 p) {
    bool inside = false;
    for (std::size_t i = 0, n = ring.size(); i < n; ++i) {
        const Vec2 a = ring[i], b = ring[(i + 1) % n];
        const double side = cross(b - a, p - a);
        if (side == 0 && std::min(a.x, b.x) <= p.x && p.x <= std::max(a.x, b.x) && std::min(a.y, b.y) <= p.y &&
            p.y <= std::max(a.y, b.y))
            return 0;
        if ((a.y > p.y) != (b.y > p.y) && (side > 0) == (b.y > a.y)) inside = !inside;
    }
    return inside ? 1 : -1;
}

bool segments_meet(Vec2 a, Vec2 b, Vec2 c, Vec2 d) {
    const double d1 = cross(b - a, c - a), d2 = cross(b - a, d - a);
    const double d3 = cross(d - c, a - c), d4 = cross(d - c, b - c);
    if (((d1 > 0) != (d2 > 0)) && ((d3 > 0) != (d4 > 0)) && d1 != 0 && d2 != 0 && d3 != 0 && d4 != 0) return true;
    const auto on = [](Vec2 p, Vec2 q, Vec2 r, double side) {
        return side == 0 && std::min(p.x, q.x) <= r.x && r.x <= std::max(p.x, q.x) && std::min(p.y, q.y) <= r.y &&
               r.y <= std::max(p.y, q.y);
    };
    return on(a, b, c, d1) || on(a, b, d, d2) || on(c, d, a, d3) || on(c, d, b, d4);
}

std::optional<std::pair<std::size_t, std::size_t>> first_crossing(const std::vector<Vec2>& ring) {
    const std::size_t n = ring.size();
    if (n < 4) return std::nullopt;
    const SideTree sides(ring);
    for (std::size_t i = 0; i + 2 < n; ++i)
        // The last side is the first one's neighbour.
        if (const auto k = sides.first_meeting(ring[i], ring[i + 1], i + 2, i == 0 ? n - 1 : n)) return std::pair{i, *k};
    return std::nullopt;
}

std::optional<std::pair<std::size_t, std::size_t>> first_meeting(const std::vector<Vec2>& a, const std::vector<Vec2>& b) {
    if (a.empty() || b.empty()) return std::nullopt;
    const SideTree sides(b);
    for (std::size_t i = 0, n = a.size(); i < n; ++i)
        if (const auto k = sides.first_meeting(a[i], a[(i + 1) % n], 0, b.size())) return std::pair{i, *k};
    return std::nullopt;
}

std::optional<std::vector<Vec2>> part_inside(const std::vector<Vec2>& ring, const std::vector<Vec2>& convex) {
    // One side of the convex ring after the other cuts what lies to its right (Sutherland and Hodgman 1974).
    std::vector<Vec2> kept = ring;
    for (std::size_t c = 0; c < convex.size(); ++c) {
        const Vec2 from = convex[c], along = unit(convex[(c + 1) % convex.size()] - from);
        const auto left = [&](Vec2 p) { return cross(along, p - from); };
        std::vector<Vec2> out;
        std::vector<double> cuts;  // places on the side where the ring crosses it, in the ring's order
        bool first_leaves = false;
        for (std::size_t i = 0; i < kept.size(); ++i) {
            const Vec2 a = kept[i], b = kept[(i + 1) % kept.size()];
            const double la = left(a), lb = left(b);
            if (la >= 0) out.push_back(a);
            if ((la >= 0) == (lb >= 0)) continue;
            const Vec2 q = a + la / (la - lb) * (b - a);
            if (cuts.empty()) first_leaves = la >= 0;
            cuts.push_back(dot(along, q - from));
            out.push_back(q);
        }
        // Between leaving and coming back the new ring runs along the side; where two such stretches overlap it is more than
        // one ring.
        if (!first_leaves && !cuts.empty()) std::rotate(cuts.begin(), cuts.begin() + 1, cuts.end());
        std::vector<std::pair<double, double>> stretches;
        for (std::size_t k = 0; k + 1 < cuts.size(); k += 2) stretches.push_back(std::minmax(cuts[k], cuts[k + 1]));
        std::sort(stretches.begin(), stretches.end());
        for (std::size_t k = 1; k < stretches.size(); ++k)
            if (stretches[k].first < stretches[k - 1].second) return std::nullopt;
        kept = std::move(out);
    }
    return kept;
}

Box box_of(const std::vector<Vec2>& corners) {
    constexpr double far = std::numeric_limits<double>::infinity();
    Box box{far, far, -far, -far};
    for (Vec2 p : corners) {
        box.x0 = std::min(box.x0, p.x);
        box.x1 = std::max(box.x1, p.x);
        box.y0 = std::min(box.y0, p.y);
        box.y1 = std::max(box.y1, p.y);
    }
    return box;
}

double gap_between(const Box& a, const Box& b) {
    const double dx = std::max({0.0, a.x0 - b.x1, b.x0 - a.x1}), dy = std::max({0.0, a.y0 - b.y1, b.y0 - a.y1});
    return std::hypot(dx, dy);
}

}  // namespace brae
