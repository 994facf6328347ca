// Keeps what takes longer to find about the present putt: the pace that forgives most, and a player's chance.
#pragma once

#include "app/document/document.h"
#include "app/read/background.h"
#include "core/solve/best_pace.h"
#include "core/solve/hole_chance.h"

#include <memory>
#include <optional>

namespace brae::app {

class PuttInsight {
public:
    explicit PuttInsight(Background& background) : background_(background) {}

    // Call once a frame. Starts only while `ready`: the read is complete and nothing is being dragged.
    void update(const DocumentValue& now, const std::shared_ptr<const PuttAnswer>& answer, const PlayerFigures& player, bool ready);

    struct Chance { HoleChance hole; ExpectedStrokes strokes; };
    // Null until they are found for the present putt.
    const BestPace* best() const { return best_ ? &*best_ : nullptr; }
    const Chance* chance() const { return chance_ ? &*chance_ : nullptr; }

private:
    struct Putt {
        std::shared_ptr<const Green> green;
        PuttQuestion question;
        bool operator==(const Putt& o) const;
    };
    Background& background_;
    std::optional<Putt> best_of_, chance_of_;
    PlayerFigures player_;
    std::optional<BestPace> best_;
    std::optional<Chance> chance_;
    std::shared_ptr<const HolingRegion> region_;   // of chance_of_; another player's chance follows at once
};

}  // namespace brae::app
