// The whole set of launches (direction, speed) that hole a putt and hang together with one solution.
#pragma once

#include "core/solve/holing_window.h"
#include "core/solve/polish.h"
#include "core/solve/putt.h"

#include <string>
#include <vector>

namespace brae {

// Slowest and fastest launch, m/s, that hole at one start angle (radians counter-clockwise from east).
struct RegionNode { double angle = 0, slow = 0, fast = 0; };

// Between `from` and `to` both limits are parabolas through three nodes, `middle` half-way in angle.
struct RegionPanel {
    RegionNode from, middle, to;
    RegionNode at(double angle) const;   // slow <= fast
};

struct HolingRegion {
    Launch solution;
    CaptureModel capture = kDefaultCapture;   // the mechanics that decided
    // By angle, rising, without gaps; then, where there are such, parts of their own: slower balls that come to rest
    // over the rim in a direction in which somewhat faster ones lip out. Parts do not overlap. Angles are continuous,
    // not wrapped.
    std::vector<RegionPanel> panels;
    double area = 0;                     // rad m/s
    // Estimate of how much of it is misjudged (not signed), rad m/s, by the bends of the limits. Not in it: gaps between
    // balls that rest over the rim and balls that drop, where they are thinner than the steps (measured: 0.04 % of putts).
    double area_error = 0;
    int rolls = 0;                       // balls rolled to find it
    std::string why_none;                // one sentence where there is none, else empty

    double lowest_angle() const;
    double highest_angle() const;
    std::vector<RegionNode> at(double angle) const;   // the intervals of speed in this direction, slow to fast
    bool holds(Launch launch) const;
};

struct RegionOptions {
    double tolerance = 1e-4;             // of the area: a panel whose misjudged area is less is not halved further
    CaptureModel capture = kDefaultCapture;
};

// Traces the set by rolling balls: at each direction the slow and the fast limit are halved to 2e-6 of the launch;
// directions are walked outwards from the solution until nothing holes and refined where the limits bend or jump.
// Holed: taken by the hole at the first pass or at rest over it. A ball that comes back to the hole later does not
// count, nor do launches that hang together with another solution only. A few thousand rolls.
HolingRegion holing_region(const PuttGround& ground, Launch solution, const RegionOptions& options = {});

// The parts of a question and of a read that this and its neighbours need.
PuttGround putt_ground(const HeightField& surface, const Outline& outline, const PuttQuestion& question);
Launch launch_of(const PuttRead& read);

}  // namespace brae
