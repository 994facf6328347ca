// Fair hole positions at the day's speed: candidates on a grid, each criterion with its source, ranked, rotated.
#pragma once

#include "core/base/constants.h"
#include "core/base/progress.h"
#include "core/roll/capture.h"
#include "core/terrain/terrain_model.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// The limits; sources in docs/references.md. Everyday defaults.
struct HoleLimits {
    double edge_m = 4 * kPace;             // four paces (Lemons 2008)
    double radius_m = 3 * kFoot;           // ground judged round the hole: 3 ft (Lemons 2008)
    double slope_ceiling = 0.03;           // up to 3 % ...
    double slope_times_speed = 0.30;       // ... and 30/S %, whichever is less
    double slope_change = 0.010;           // largest departure of the slope inside the radius from its mean
    double run_past_m = 0.61;              // a putt from straight above at dead weight stops within 2 ft (1981)
    double spacing_m = 0.5;                // of the candidates
    double apart_m = 3.0;                  // between holes of following days
    CaptureModel capture = kDefaultCapture;   // behind the holing window in the score
};

// One criterion's verdict on a place, in words and numbers.
struct Criterion {
    std::string name;      // "edge", "slope", "change of slope", "stopping"
    bool pass = false;
    double value = 0, limit = 0;
    std::string unit;      // "m" or "%"
    std::string sentence;  // "2.1 % is under the 3.0 % allowed at 10.0 ft"
    bool measured = true;  // false where a ball does not stop, so that the value only ranks
};

struct HolePosition {
    Vec2 p;
    double score = 0;      // 0 to 1, the least margin over the criteria and the size of the window; only ranks
    double slope = 0;      // ratio, mean inside the radius
    double edge_m = 0;
    std::vector<Criterion> criteria;
    bool fair = false;
    std::string day;       // "1", "2", ... where a rotation was asked for
    std::string why;       // one line
};

struct HolePlan {
    std::vector<HolePosition> positions;   // fair ones, ranked, at least apart_m from one another; one a day if asked
    std::string why_none;                  // the limit that is closest, and the speed that would allow one
    std::size_t candidates = 0, fair = 0;
    double fair_area_m2 = 0;
};

HolePosition judge_hole(const TerrainModel& terrain, Vec2 p, double green_speed_ft, const HoleLimits& limits);

// Positions for today (days = 0: the best ten) or for a number of days (1-14), away from `recent` holes and zones.
HolePlan plan_holes(const TerrainModel& terrain, double green_speed_ft, int days, const std::vector<Vec2>& recent,
                    const std::vector<std::vector<Vec2>>& closed_zones, const HoleLimits& limits, Progress& progress);

// Each criterion over the green, for maps: cells of limits.spacing_m, NaN outside the green. margin: how far the nearest
// limit is, 1 comfortable, 0 at a limit, negative where one is missed (not under -1). run_past_m is NaN where a ball
// does not stop.
struct HoleMaps { Raster margin, slope_pct, change_pct, edge_m, run_past_m; };
HoleMaps map_holes(const TerrainModel& terrain, double green_speed_ft, const HoleLimits& limits, Progress& progress);

// How much of the green, without the closed zones, is fair at each of some green speeds.
struct FairAtSpeed { double green_speed_ft = 0, area_m2 = 0; };
std::vector<FairAtSpeed> fair_area_by_speed(const TerrainModel& terrain, const std::vector<double>& speeds_ft,
                                            const std::vector<std::vector<Vec2>>& closed_zones, const HoleLimits& limits,
                                            Progress& progress);

// The highest green speed, to a tenth of a foot, at which a place is fair; empty where none from 4 to 16 ft is.
std::optional<double> fastest_fair_speed(const TerrainModel& terrain, Vec2 p, const HoleLimits& limits);

}  // namespace brae
