#include "core/survey/outline.h"

#include "core/base/error.h"
#include "core/base/segment.h"
#include "core/survey/ring.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace brae {

namespace {

constexpr double kLongestOutlineM = 100'000;

}  // namespace

std::string to_text(OutlineSource source) {
    switch (source) {
        case OutlineSource::file: return "file";
        case OutlineSource::point_codes: return "point codes";
        case OutlineSource::drawn: return "drawn";
        case OutlineSource::data_boundary: break;
    }
    return "boundary of the data";
}

Outline::Outline(std::vector<Vec2> ring, OutlineSource source) : source_(source) {
    // Drop repeated neighbours and a repeated first point.
    for (Vec2 p : ring)
        if (ring_.empty() || !(p == ring_.back())) ring_.push_back(p);
    while (ring_.size() > 1 && ring_.front() == ring_.back()) ring_.pop_back();
    if (ring_.size() < 3) throw Error(fmt::format("the outline has {} distinct points; at least 3 are wanted", ring_.size()));
    for (Vec2 p : ring_)
        if (!std::isfinite(p.x) || !std::isfinite(p.y)) throw Error("the outline holds a coordinate that is not a number");

    // No edge of a green is this long; a digit too many makes one.
    box_ = box_of(ring_);
    if (const double span = std::max(box_.width(), box_.height()); span > kLongestOutlineM)
        throw Error(fmt::format("the outline spans {:.0f} km; the edge of one green, at most {:.0f} km, is wanted", span / 1000, kLongestOutlineM / 1000));

    // A ring that crosses itself has no inside.
    if (const auto sides = first_crossing(ring_))
        throw Error(fmt::format("the outline crosses itself between its points {} and {}", sides->first + 1, sides->second + 1));
    area_ = signed_area(ring_);
    if (area_ < 0) {
        std::reverse(ring_.begin(), ring_.end());
        area_ = -area_;
    }
    if (area_ < 1) throw Error(fmt::format("the outline encloses {:.2f} m2; at least 1 m2 is wanted", area_));

    settle_cells();
}

Outline Outline::with_gaps(std::vector<std::vector<Vec2>> gaps) const {
    return with_inner({cut_outs().begin(), cut_outs().end()}, std::move(gaps));
}

Outline Outline::with_cut_outs(std::vector<std::vector<Vec2>> rings) const {
    return with_inner(std::move(rings), {data_gaps().begin(), data_gaps().end()});
}

Outline Outline::with_cut_outs_of(const Outline& other) const {
    std::vector<std::vector<Vec2>> kept;
    for (const auto& ring : other.cut_outs())
        if (side_of_ring(ring_, ring.front()) > 0 && !first_meeting(ring, ring_)) kept.push_back(ring);
    return with_cut_outs(std::move(kept));
}

Outline Outline::with_inner(std::vector<std::vector<Vec2>> cut_outs, std::vector<std::vector<Vec2>> gaps) const {
    const auto no_ring = [](const auto& g) { return g.size() < 3; };
    std::erase_if(cut_outs, no_ring);
    std::erase_if(gaps, no_ring);
    Outline out = *this;
    for (const auto& g : out.gaps_) out.area_ += std::abs(signed_area(g));
    out.cut_outs_ = cut_outs.size();
    out.gaps_ = std::move(cut_outs);
    out.gaps_.insert(out.gaps_.end(), gaps.begin(), gaps.end());
    for (const auto& g : out.gaps_) out.area_ -= std::abs(signed_area(g));
    out.settle_cells();
    return out;
}

// Settles the cells that no side crosses; at most about a million of them.
void Outline::settle_cells() {
    cell_ = std::max({0.25, std::sqrt(box_.width() * box_.height() / 1e6), box_.width() / 1e5, box_.height() / 1e5});
    columns_ = static_cast<int>(box_.width() / cell_) + 1;
    rows_ = static_cast<int>(box_.height() / cell_) + 1;
    cells_.assign(static_cast<std::size_t>(columns_) * rows_, 3);
    const auto mark = [&](int i, int j) {
        if (i >= 0 && j >= 0 && i < columns_ && j < rows_) cells_[static_cast<std::size_t>(j) * columns_ + i] = 2;
    };
    for_each_side([&](Vec2 a, Vec2 b) {
        const int steps = static_cast<int>(distance(a, b) / (0.5 * cell_)) + 1;
        for (int s = 0; s <= steps; ++s) {
            const Vec2 p = a + (double(s) / steps) * (b - a);
            const int i = static_cast<int>((p.x - box_.x0) / cell_), j = static_cast<int>((p.y - box_.y0) / cell_);
            for (int dj = -1; dj <= 1; ++dj)
                for (int di = -1; di <= 1; ++di) mark(i + di, j + dj);
        }
    });
    for (int j = 0; j < rows_; ++j) {
        int known = -1;  // a run of uncrossed cells shares its first cell's answer
        for (int i = 0; i < columns_; ++i) {
            auto& cell = cells_[static_cast<std::size_t>(j) * columns_ + i];
            if (cell == 2) {
                known = -1;
                continue;
            }
            if (known < 0) known = contains_exact({box_.x0 + (i + 0.5) * cell_, box_.y0 + (j + 0.5) * cell_}) ? 1 : 0;
            cell = static_cast<std::uint8_t>(known);
        }
    }
}

Vec2 Outline::centroid() const { return ring_centroid(ring_); }

bool Outline::contains(Vec2 p) const {
    if (ring_.empty() || !box_.contains(p)) return false;
    const int i = std::min(static_cast<int>((p.x - box_.x0) / cell_), columns_ - 1);
    const int j = std::min(static_cast<int>((p.y - box_.y0) / cell_), rows_ - 1);
    const auto cell = cells_[static_cast<std::size_t>(j) * columns_ + i];
    return cell == 2 ? contains_exact(p) : cell == 1;
}

// Inside the ring and not within a gap; points on a side count as green.
bool Outline::contains_exact(Vec2 p) const {
    if (side_of_ring(ring_, p) < 0) return false;
    return std::none_of(gaps_.begin(), gaps_.end(), [&](const auto& gap) { return side_of_ring(gap, p) > 0; });
}

Vec2 Outline::nearest_edge_point(Vec2 p) const {
    Vec2 best = p;
    double least = std::numeric_limits<double>::infinity();
    for_each_side([&](Vec2 a, Vec2 b) {
        const Vec2 q = nearest_on_segment(p, a, b);
        if (const double d = distance(p, q); d < least) {
            least = d;
            best = q;
        }
    });
    return best;
}

double Outline::signed_distance(Vec2 p) const {
    if (ring_.empty()) return -std::numeric_limits<double>::infinity();
    const double d = distance(p, nearest_edge_point(p));
    return contains(p) ? d : -d;
}

bool Outline::segment_leaves(Vec2 a, Vec2 b) const {
    if (!contains(a) || !contains(b)) return true;
    // Both ends inside: it leaves only where it crosses an edge; short segments in settled cells cannot.
    if (distance(a, b) < cell_) {
        const auto settled = [&](Vec2 p) {
            const int i = std::min(static_cast<int>((p.x - box_.x0) / cell_), columns_ - 1);
            const int j = std::min(static_cast<int>((p.y - box_.y0) / cell_), rows_ - 1);
            return cells_[static_cast<std::size_t>(j) * columns_ + i] == 1;
        };
        if (settled(a) && settled(b)) return false;
    }
    bool leaves = false;
    for_each_side([&](Vec2 c, Vec2 d) { leaves = leaves || segments_meet(a, b, c, d); });
    return leaves;
}

}  // namespace brae
