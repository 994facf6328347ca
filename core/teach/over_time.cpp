#include "core/teach/over_time.h"

#include "core/base/random.h"

#include <cmath>
#include <set>

namespace brae {

std::optional<RetestTold> compare_retest(const PlayerModel& model, const LessonEstimate& estimate) {
    // Told reads on putts that break, by phase; no phase counts as before.
    std::vector<std::size_t> putts[2];
    std::set<int> stations[2];
    for (std::size_t i = 0; i < model.putts().size(); ++i) {
        const SeenPutt& p = model.putts()[i];
        if (line_of(p) != LineKnown::own_told || model.stations()[static_cast<std::size_t>(p.station)].straight()) continue;
        const int phase = p.phase == PuttPhase::retest ? 1 : 0;
        putts[phase].push_back(i);
        stations[phase].insert(p.station);
    }
    if (putts[0].empty() || putts[1].empty()) return std::nullopt;

    // Draw by draw; what is not known of a read, and what another putt and station would have brought, is drawn too.
    std::vector<double> means[2], change;
    Random random(20260502);
    const Draws& draws = estimate.draws;
    for (std::size_t d = 0; d < draws.count; ++d) {
        const PlayerModel::Player p = model.player_of(&draws.values[d * draws.dimensions]);
        double mean[2] = {}, by_chance = 0;
        for (const int k : {0, 1}) {
            const auto n = static_cast<double>(putts[k].size());
            for (const std::size_t i : putts[k]) {
                const PlayerModel::PuttLaw law = model.law_of(p, i);
                const bool right = model.stations()[static_cast<std::size_t>(model.putts()[i].station)].high_is_right();
                mean[k] += (right ? -1 : 1) * (law.read_mean + std::sqrt(law.read_var) * random.normal()) / n;
            }
            means[k].push_back(mean[k]);
            by_chance += std::pow(p.figure[kReadSpread], 2) / n + std::pow(p.figure[kReadStationSpread], 2) / static_cast<double>(stations[k].size());
        }
        change.push_back(mean[1] - mean[0] + std::sqrt(by_chance) * random.normal());
    }
    return RetestTold{static_cast<int>(putts[0].size()), static_cast<int>(putts[1].size()), told_by(means[0]), told_by(means[1]), told_by(change)};
}

PlayerPrior prior_after(const LessonEstimate& estimate, const PlayerPrior& first) {
    constexpr double kDegree = kPi / 180;
    PlayerPrior out = first;
    for (std::size_t k = 0; k < kPlayerFigures; ++k) {
        const bool spread = k >= kReadSpread;
        // Spreads by the moments of their logarithm, from those of a log-normal.
        const Told90& t = estimate.figure[k];
        double mean = t.mean, sd = t.sd, drift = 0.15;
        if (spread) {
            const double ratio = 1 + t.sd * t.sd / (t.mean * t.mean);
            mean = std::log(t.mean / std::sqrt(ratio)), sd = std::sqrt(std::log(ratio));
        } else {
            drift = k == kReadShare ? 0.08 : k == kPaceBias ? 0.02 : 0.3 * kDegree;
        }
        out.figure[k] = {mean, std::min(first.figure[k].sd, std::hypot(sd, drift))};
    }
    return out;
}

}  // namespace brae
