// Where players come from, and a hole's place as the trade says it: paces on from the front edge, paces from the nearer side.
#pragma once

#include "core/survey/outline.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// A line of play runs over the green in one direction. Where it was drawn as a polyline of the approach, from the players to the
// green, its last leg gives the direction, and the polyline is kept to be drawn again.
struct LineOfPlay {
    Vec2 direction;               // unit, the way players look
    std::vector<Vec2> approach;   // local metres, empty where only the direction was given
    friend bool operator==(const LineOfPlay&, const LineOfPlay&) = default;
};
// Throws Error(usage) for a bearing that is no number; for an approach of fewer than two points or a last leg under half a metre.
LineOfPlay line_of_play_towards(double bearing_deg);
LineOfPlay line_of_play_along(std::vector<Vec2> approach);

enum class GreenSide { left, right };   // as the player sees it who looks along the line of play
std::string to_text(GreenSide side);

// How a place is measured (common practice, and practice differs: some count from the front of the whole green):
// paces on are counted along the line of play through the place, from where that line crosses the front edge; paces from the
// side square to it, to the nearer side. A pace is one yard. The edge is the outer ring; gaps without data have none.
// Where a bay or a waist makes the line cross the edge several times, the crossing next before the place counts, since the ground
// between is green; how far in front of it the line first met the green is told in `first_edge_m`.
struct PlaceByPaces {
    double on_m = 0, behind_m = 0;      // to the front edge and to the edge behind
    double left_m = 0, right_m = 0;     // square to the line of play
    double first_edge_m = 0;            // over 0: the line met green already so far before the front edge that counts
    int depth = 0;                      // 0 front, 1 middle, 2 back: thirds of the green's whole depth along the line of play
    int across = 0;                     // 0 left, 1 centre, 2 right: thirds of its whole width
    double side_m() const { return left_m <= right_m ? left_m : right_m; }   // the nearer one; left where they are equal
    GreenSide side() const { return left_m <= right_m ? GreenSide::left : GreenSide::right; }
};
// Exact on the ring. Empty off the green (on the ring counts as on it).
std::optional<PlaceByPaces> place_by_paces(const Outline& outline, const LineOfPlay& line, Vec2 p);

// "12 on, 4 left": whole paces, or halves where asked for.
std::string paces_text(const PlaceByPaces& place, bool halves = false);
std::string third_text(const PlaceByPaces& place);   // "front left", "middle centre"
// Thirds by the green's extent along and across a direction, for places by the thousand.
class PlayThirds {
public:
    PlayThirds(const Outline& outline, const LineOfPlay& line);
    int depth(Vec2 p) const;
    int across(Vec2 p) const;

private:
    Vec2 along_;
    std::array<double, 2> depth_{}, width_{};   // where the middle third begins and ends
};

// A place that fits counted paces.
struct CountedPlace {
    Vec2 p;
    bool nearer = true;     // false: the other side is nearer there, so it would not be counted from this one
    double se_m = 0;        // one standard error of the place where each count is rounded to a whole pace
};
// The inverse: every place of the green that is `on_m` behind the front edge and `side_m` from that side, those first for which
// it is the nearer side. Sorted from left to right. To a tenth of a millimetre.
std::vector<CountedPlace> places_at_paces(const Outline& outline, const LineOfPlay& line, double on_m, GreenSide side, double side_m);
// The one place meant. Throws Error with one sentence where there is none (how deep the green is, or how far it reaches to that
// side so far on), where several fit (naming them, with the further count that would tell them apart), and where the counts do
// not fix it: front edge and side are nearly one straight edge there, and whole paces leave it to 1.5 m and worse (se_m).
CountedPlace place_at_paces(const Outline& outline, const LineOfPlay& line, double on_m, GreenSide side, double side_m);

}  // namespace brae
