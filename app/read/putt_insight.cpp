#include "app/read/putt_insight.h"

namespace brae::app {

bool PuttInsight::Putt::operator==(const Putt& o) const {
    return green == o.green && question.ball == o.question.ball && question.hole == o.question.hole &&
           question.green_speed_ft == o.question.green_speed_ft && question.past_m == o.question.past_m;
}

void PuttInsight::update(const DocumentValue& now, const std::shared_ptr<const PuttAnswer>& answer, const PlayerFigures& player, bool ready) {
    const bool asked = now.green && now.ball && now.hole && answer && !answer->solutions.empty();
    Putt putt;
    if (asked) putt = {now.green, {*now.ball, *now.hole, now.green_speed_ft, now.past_m}};

    // What belongs to another putt goes at once. The best pace does not depend on the pace that is set.
    Putt any_pace = putt;
    any_pace.question.past_m = 0;
    if (best_of_ && (!asked || !(*best_of_ == any_pace))) {
        background_.cancel("best-pace");
        best_of_.reset();
        best_.reset();
    }
    if (chance_of_ && (!asked || !(*chance_of_ == putt) || !(player_ == player))) {
        background_.cancel("chance");
        if (!asked || !(*chance_of_ == putt)) region_.reset();
        chance_of_.reset();
        chance_.reset();
    }
    if (!asked || !ready) return;

    if (!best_of_) {
        best_of_ = any_pace;
        background_.start("best-pace", "", false, [this, any_pace](Progress&) -> Background::TakeIn {
            const TerrainModel& terrain = *any_pace.green->terrain;
            auto found = std::make_shared<BestPace>(find_best_pace(*terrain.surface, terrain.outline, any_pace.question));
            return [this, found] { best_ = std::move(*found); };
        });
    }
    if (!chance_of_) {
        chance_of_ = putt;
        player_ = player;
        background_.start("chance", "", false, [this, putt, answer, spread = spread_of(player), region = region_](Progress&) -> Background::TakeIn {
            const TerrainModel& terrain = *putt.green->terrain;
            const PuttGround ground = putt_ground(*terrain.surface, terrain.outline, putt.question);
            const Launch meant = launch_of(answer->solutions.front());
            const auto holes = region ? region : std::make_shared<const HolingRegion>(holing_region(ground, meant));
            const Chance chance{chance_to_hole(*holes, spread, meant),
                                expected_strokes(ground, *holes, spread, meant, putt.question.green_speed_ft, putt.question.past_m)};
            return [this, holes, chance] {
                region_ = holes;
                chance_ = chance;
            };
        });
    }
}

}  // namespace brae::app
