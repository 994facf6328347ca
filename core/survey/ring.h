// Closed rings of corners without an Outline round them: area, centroid, inside or not, where they cross themselves, boxes.
#pragma once

#include "core/survey/outline.h"

#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

namespace brae {

// All take a ring in either sense, without a repeated first point at its end, in the unit of its corners.

// Positive where the ring runs counter-clockwise.
double signed_area(const std::vector<Vec2>& ring);
// Of the area; the mean of the corners where there is none.
Vec2 ring_centroid(const std::vector<Vec2>& ring);
// 1 inside, 0 on a side, -1 outside: crossing number with the half-open rule.
int side_of_ring(const std::vector<Vec2>& ring, Vec2 p);
// Do the segments a-b and c-d cross or touch?
bool segments_meet(Vec2 a, Vec2 b, Vec2 c, Vec2 d);
// The first two sides, by the index of the corner where each starts, that cross or touch without being neighbours; empty for
// a simple ring. The lower of the two is the lowest there is, the other the lowest that meets it. n log n where sides are
// short against the ring.
std::optional<std::pair<std::size_t, std::size_t>> first_crossing(const std::vector<Vec2>& ring);
// The first side of a, by the index of the corner where it starts, that crosses or touches one of b, and the lowest such side
// of b; empty where the two rings keep apart, also where one lies within the other.
std::optional<std::pair<std::size_t, std::size_t>> first_meeting(const std::vector<Vec2>& a, const std::vector<Vec2>& b);

// The part of a ring inside a convex one that runs counter-clockwise. Empty corners where there is none; no value where it
// falls into several parts.
std::optional<std::vector<Vec2>> part_inside(const std::vector<Vec2>& ring, const std::vector<Vec2>& convex);

// Empty (x0 > x1) for no corners.
Box box_of(const std::vector<Vec2>& corners);
// Distance between two boxes, 0 where they overlap.
double gap_between(const Box& a, const Box& b);

}  // namespace brae
