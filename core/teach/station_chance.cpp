#include "core/teach/station_chance.h"

#include <algorithm>
#include <cmath>

namespace brae {

std::vector<StationChance> station_chances(const PlayerModel& model, const LessonEstimate& estimate) {
    constexpr std::size_t kDraws = 64;   // evenly thinned: a chance to 1 or 2 points
    const Draws& draws = estimate.draws;
    const std::size_t want = std::max<std::size_t>(1, std::min(draws.count, kDraws));
    std::vector<StationChance> out(model.stations().size());
    for (std::size_t s = 0; s < out.size(); ++s) {
        const OutcomeStrips holed = outcome_strips(model.stations()[s], PuttOutcome::holed);
        SeenPutt putt;
        putt.station = static_cast<int>(s);
        for (std::size_t k = 0; k < want; ++k) {
            const PlayerModel::Player p = model.player_of(&draws.values[k * draws.count / want * draws.dimensions]);
            putt.phase = PuttPhase::own_read;
            out[s].own_read += chance_of(holed, model.law_of(p, putt).launch) / static_cast<double>(want);
            putt.phase = PuttPhase::marker;
            out[s].marker += chance_of(holed, model.law_of(p, putt).launch) / static_cast<double>(want);
        }
    }
    return out;
}

}  // namespace brae
