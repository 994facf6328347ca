// The edge of the putting surface: one closed ring, gaps in it without data, and fast inside and distance queries.
#pragma once

#include "core/base/vec.h"

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace brae {

enum class OutlineSource { data_boundary, file, point_codes, drawn };
std::string to_text(OutlineSource source);  // "boundary of the data", "file", "point codes", "drawn"

struct Box {
    double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
    double width() const { return x1 - x0; }
    double height() const { return y1 - y0; }
    bool contains(Vec2 p) const { return p.x >= x0 && p.x <= x1 && p.y >= y0 && p.y <= y1; }
};

// Immutable. Local metres. The ring is stored counter-clockwise without a repeated first point.
class Outline {
public:
    Outline() = default;  // empty: contains nothing
    // Takes the ring in either sense, closed or not. Throws Error when it has fewer than 3 distinct points, crosses
    // itself, or encloses less than 1 m^2.
    Outline(std::vector<Vec2> ring, OutlineSource source);
    // The same with gaps: closed rings inside it where there is no data, instead of those it had. A gap is outside the green
    // in every query. Rings of fewer than 3 points are dropped; gaps must not touch one another (not checked).
    Outline with_gaps(std::vector<std::vector<Vec2>> gaps) const;
    // The same with rings cut out of it that are no green whatever the data, as a bunker within the edge. They are the first
    // of the gaps, outside the green in every query too, and stay when gaps of the data change.
    Outline with_cut_outs(std::vector<std::vector<Vec2>> rings) const;
    // The same with those cut-outs of another edge of this green that lie wholly within this ring.
    Outline with_cut_outs_of(const Outline& other) const;

    bool empty() const { return ring_.empty(); }
    const std::vector<Vec2>& ring() const { return ring_; }
    const std::vector<std::vector<Vec2>>& gaps() const { return gaps_; }  // cut-outs first, then places without data
    std::span<const std::vector<Vec2>> cut_outs() const { return {gaps_.data(), cut_outs_}; }
    std::span<const std::vector<Vec2>> data_gaps() const { return std::span(gaps_).subspan(cut_outs_); }
    OutlineSource source() const { return source_; }
    const Box& box() const { return box_; }
    double area_m2() const { return area_; }  // without the gaps
    Vec2 centroid() const;                    // of the outer ring

    // Whether p lies inside or on the ring. Constant time for most points through a raster of settled cells.
    bool contains(Vec2 p) const;
    // Distance to the edge in metres, positive inside, negative outside; exact.
    double signed_distance(Vec2 p) const;
    // The point of the edge nearest to p.
    Vec2 nearest_edge_point(Vec2 p) const;
    // Does the segment a-b leave the green? True also where both ends are inside but a bay lies between.
    bool segment_leaves(Vec2 a, Vec2 b) const;

private:
    bool contains_exact(Vec2 p) const;
    Outline with_inner(std::vector<std::vector<Vec2>> cut_outs, std::vector<std::vector<Vec2>> gaps) const;
    void settle_cells();
    // Calls f(a, b) for every side of the ring and of the gaps.
    template <typename F> void for_each_side(F&& f) const {
        const auto sides = [&](const std::vector<Vec2>& r) {
            for (std::size_t i = 0; i < r.size(); ++i) f(r[i], r[(i + 1) % r.size()]);
        };
        sides(ring_);
        for (const auto& g : gaps_) sides(g);
    }
    std::vector<Vec2> ring_;
    std::vector<std::vector<Vec2>> gaps_;
    std::size_t cut_outs_ = 0;   // how many of the gaps are cut-outs
    OutlineSource source_ = OutlineSource::data_boundary;
    Box box_;
    double area_ = 0;
    // Settled cells: 0 outside, 1 inside, 2 crossed by the ring.
    std::vector<std::uint8_t> cells_;
    int columns_ = 0, rows_ = 0;
    double cell_ = 0.25;
};

}  // namespace brae
