// Ball spots for a list of wishes round one hole: every spot of a polar lattice is asked, then one chosen for each wish.
#pragma once

#include "core/base/progress.h"
#include "core/plan/lesson_search.h"
#include "core/plan/station_wish.h"

#include <memory>
#include <vector>

namespace brae {

// The readers of one hole, by pace, made where they are first asked for. Wishes of the same pace share one. Terrain, request
// and progress must outlive it.
class ReadersByPace {
public:
    ReadersByPace(const TerrainModel& terrain, const StationRequest& request, const std::vector<StationWish>& wishes, Progress& progress);
    const SpotReader& of(double past_m);

private:
    const TerrainModel& terrain_;
    const StationRequest& request_;
    Progress& progress_;
    double longest_path_m_ = 0;
    std::vector<std::pair<double, std::unique_ptr<SpotReader>>> readers_;
};

// As many wishes as can be met together, of these the set that is steadiest against green speed and farthest apart. Balls
// are 1.2 m apart; a ball within 0.6 m of another's line to the hole is taken only where nothing else is left, and its note
// says that one player putts at a time. Spots are in the order of the wishes; `missing` names each wish that has none and what stands against it.
// Deterministic: a search by branch and bound over at most 18 spots a wish, cut after 200,000 nodes.
Choice choose_by_wishes(ReadersByPace& readers, const TerrainModel& terrain, const StationRequest& request,
                        const std::vector<StationWish>& wishes, Progress& progress);

}  // namespace brae
