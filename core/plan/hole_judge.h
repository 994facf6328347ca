// The whole judgement of hole positions on one green: one place, every place, maps, and what green speed does.
#pragma once

#include "core/plan/hole_ground.h"
#include "core/plan/hole_motion.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// Which places are judged by motion too, the dear part: all, for maps of every criterion; or those that the ground alone
// does not rule out.
enum class HoleScope { every_place, only_possible };

// Places of a lattice fixed to the local origin, limits.spacing_m apart, without those in closed zones.
struct GreenJudgement {
    double green_speed_ft = 0, spacing_m = 0;
    HoleScope scope = HoleScope::only_possible;
    std::vector<HolePosition> places;      // criteria and why of each; score over 0 where fair
    std::size_t fair = 0;
    double fair_area_m2 = 0;               // without the closed zones
    std::string why_none;                  // where none is fair: the closest place, its limit, and the speed that would allow one
    std::optional<Vec2> closest;           // that place
};

class HoleJudge {
public:
    // The terrain must outlive it. Throws as HoleGround, and Error(usage) for a green speed outside 4-16 ft.
    HoleJudge(const TerrainModel& terrain, GreenAround around, double green_speed_ft, const HoleLimits& limits);
    ~HoleJudge();
    HoleJudge(const HoleJudge&) = delete;
    HoleJudge& operator=(const HoleJudge&) = delete;

    // Every criterion of one place; only the edge where it is off the green. Milliseconds; safe from several threads.
    HolePosition judge(Vec2 p) const;
    // The facts behind the criteria by motion; p on the green.
    MotionFacts motion(Vec2 p) const;

    // In parallel over the places; the same bits for any number of threads. Cancel is answered within a place's judgement.
    GreenJudgement judge_green(HoleScope scope, Progress& progress) const;

    const HoleGround& ground() const;
    double green_speed_ft() const;
    const HoleLimits& limits() const;

private:
    friend std::vector<FairAtSpeed> fair_area_at(const TerrainModel&, const GreenAround&, const std::vector<double>&, const HoleLimits&, Progress&);
    struct State;
    std::unique_ptr<State> state_;
};

// One criterion as a map, by its name, or "margin" (1 comfortable, 0 at the nearest limit, down to -1): cells of the lattice,
// not a number off the green, in closed zones and where it was not judged or has no figure.
Raster map_of(const GreenJudgement& judged, const std::string& name);

// Fair area at each of some speeds, without the closed zones, on the lattice of limits.spacing_m.
std::vector<FairAtSpeed> fair_area_at(const TerrainModel& terrain, const GreenAround& around, const std::vector<double>& speeds_ft,
                                      const HoleLimits& limits, Progress& progress);

// Up to which green speed a place stays fair, in steps of 0.1 ft up from `from_ft`, and what ends it.
struct FairUntil {
    bool fair_now = false;
    double speed_ft = 0;                   // the last fair speed; kFastestGreenFt where nothing ends it
    std::string criterion, sentence;       // the first that fails beyond, empty where none does; or what fails now
};
FairUntil fair_until(const TerrainModel& terrain, const GreenAround& around, Vec2 p, double from_ft, const HoleLimits& limits, Progress& progress);
// "The hole stops being fair at 11.3 ft ...", where the forecast passes that; empty else.
std::string forecast_warning(const FairUntil& until, double forecast_ft);

}  // namespace brae
