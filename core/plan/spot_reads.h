// Quick reads of many ball spots round one hole, from families of rays; the planner's finalists are solved in full.
#pragma once

#include "core/plan/practice_stations.h"
#include "core/solve/polish.h"
#include "core/solve/ray_family.h"

#include <optional>
#include <vector>

namespace brae {

// Where a player stands beside the ball is turf too, m from the edge.
inline constexpr double kStanceM = 0.6;
// Balls nearer to one another than this make players stand in each other's way, m.
inline constexpr double kBetweenBallsM = 1.2;
// The green speed is known to about this, ft; a good station's break hardly changes with it.
inline constexpr double kSpeedStepFt = 0.5;

// Balls keep this far from another hole in play; their paths pass it by so much, m.
inline constexpr double kOtherHoleM = 1.0, kPassHoleM = 0.2;

enum class SpotFault { none, edge, zone, other_hole, no_read, shaky };

// One ball spot: its signed aim offsets (positive right) today and at half a foot less and more. The side whose green speed
// the program does not accept is NaN.
struct SpotRead {
    Vec2 ball;
    double bearing = 0;           // radians, of the ball from the hole, clockwise from north
    double offset_m = 0, offset_slower_m = 0, offset_faster_m = 0;
    double slope_along = 0;       // ratio of the straight line, positive uphill
    Launch launch;                // about that of today's read
    SpotFault fault = SpotFault::none;
    bool good() const { return fault == SpotFault::none; }
    // How far half a foot of speed moves the offset: half the difference of both sides, or what one side alone tells.
    double swing_m() const;
    // The same against the size of the break: less is better.
    double unrest() const;
};

// What needs no read: is there room for ball and player, and the slope of the line. Its fault is none, edge, zone or other_hole.
SpotRead room_at(const TerrainModel& terrain, const StationRequest& request, double distance_m, double bearing);

// Paths longer than this are no practice putts, unless a lesson asks for them; rays end there.
inline constexpr double kLongestPathM = 8.0;

// The families of one hole and pace at three green speeds. Terrain and request must outlive it.
class SpotReader {
public:
    SpotReader(const TerrainModel& terrain, const StationRequest& request, double past_m, Progress& progress,
               double longest_path_m = kLongestPathM);
    SpotRead at(double distance_m, double bearing) const;
    // Adds the reads to a spot that has room.
    void read(SpotRead& spot) const;
    // Evenly round the hole, the first to the north; in parallel, by index.
    std::vector<SpotRead> ring(double distance_m, int count) const;
    // The spot near one told by where_offset_is at which the offset is exact to a millimetre; not good where there is none.
    SpotRead refine(const SpotRead& rough, double distance_m, double offset_m) const;

private:
    std::optional<double> offset(const RayFamily& family, Vec2 ball, Launch* launch = nullptr) const;
    bool runs_over_other_hole(const Ray& ray) const;
    const TerrainModel& terrain_;
    const StationRequest& request_;
    RayFamily today_, slower_, faster_;
};

// Spots where the signed offset takes a value, interpolated between neighbours of a ring.
std::vector<SpotRead> where_offset_is(const std::vector<SpotRead>& ring, Vec2 hole, double distance_m, double offset_m);

// Slower and faster green speeds by half a foot; empty outside what the program accepts.
std::optional<double> slower_green(double green_speed_ft);
std::optional<double> faster_green(double green_speed_ft);

}  // namespace brae
