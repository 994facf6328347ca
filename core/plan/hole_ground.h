// What can be said of a hole's place from the ground round it and its place on the green, before any ball rolls.
#pragma once

#include "core/plan/hole_positions.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// What people have said of a green, in local metres.
struct GreenAround {
    std::vector<std::vector<Vec2>> closed;   // rings: no hole inside, and no free approach over them
    std::vector<std::string> closed_words;   // of each of them, for sentences: "zone 'Scar' (worn, until 2026-05-10)"; may be empty
    std::vector<std::vector<Vec2>> guards;   // rings of bunkers and water beside the green
    std::optional<Vec2> play;                // the way the hole is played, towards the back; none: the approach is not judged
};

// One green at any speed. Immutable: safe from several threads. The terrain must outlive it.
class HoleGround {
public:
    // Throws Error(usage) for a green without outline or surface, limits out of range, a ring of fewer than 3 corners.
    HoleGround(const TerrainModel& terrain, GreenAround around, const HoleLimits& limits);

    // Rows "edge", "closed ground" (inside a closed ring only, and then missed), "guarded edge" (where there is one), "steep ground",
    // "slope", "change of slope", "uniform grade", "approach" (where the way of play is known); only the first where p is off the
    // green. About 20 us.
    std::vector<Criterion> judge(Vec2 p, double green_speed_ft) const;

    // The figures behind them, m. Distances are capped at 30 m, the radius of uniform grade at 2 m.
    double guarded_edge_m(Vec2 p) const;                    // to the nearest edge beside a bunker or over a bank
    double steep_ground_m(Vec2 p, double green_speed_ft) const;   // to a point over the steep limit, of a 0.25 m lattice
    double uniform_m(Vec2 p) const;                         // within it the gradient departs from the hole's by at most the limit
    double approach_m(Vec2 p, double green_speed_ft) const; // free ground towards the player, in a corridor 3 ft to either side
    // Does a straight line fall so steeply somewhere that a ball on it gathers speed?
    bool runs_away(Vec2 from, Vec2 to, double green_speed_ft) const;

    const TerrainModel& terrain() const { return terrain_; }
    const GreenAround& around() const { return around_; }
    const HoleLimits& limits() const { return limits_; }

private:
    double steep_slope(double green_speed_ft) const { return limits_.steep_times_speed / green_speed_ft; }
    Vec2 gradient(Vec2 p) const;                             // of the lattice; zero off it

    const TerrainModel& terrain_;
    GreenAround around_;
    HoleLimits limits_;
    std::vector<Vec2> guarded_;                              // points of the edge
    Raster gx_, gy_;                                         // gradient on the lattice, not a number off the green
};

}  // namespace brae
