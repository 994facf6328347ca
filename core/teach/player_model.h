// The player behind a lesson as one density: prior, nuisance terms and all putts together. docs/lessons.md.
#pragma once

#include "core/teach/player_prior.h"
#include "core/teach/putt_likelihood.h"

#include <memory>
#include <vector>

namespace brae {

// Whose line a putt was aimed along, as far as the record says.
enum class LineKnown { marker, own_told, own_unknown };
LineKnown line_of(const SeenPutt& putt);
// 1 sigma of a marker's place across the line, set out by string or two tapes, and of a mark picked on its line. Own choice,
// by the centimetre that tapes are read to and the two that a hand slips.
inline constexpr double kMarkerSetM = 0.015;
// Struck off the centre: its pace is not counted.
inline bool mis_struck(const SeenPutt& putt) { return putt.strike && *putt.strike != StrikePlace::centre; }

// The unknowns are kept as standard normals u: the eleven figures against their prior, then for each station what is
// peculiar to its read, to its pace, the shift of its true aim by green speed and survey (joint covariance), and by how much
// its marker stands off the place that it was meant to have: the same for every putt at it, and for a gate on its line.
class PlayerModel {
public:
    // Throws Error(usage) for a putt of no station.
    PlayerModel(const Lesson& lesson, std::shared_ptr<const std::vector<StationResponse>> stations, const ErrorModel* survey_error,
                const PlayerPrior& prior = {});

    std::size_t size() const { return kPlayerFigures + 4 * stations_->size(); }
    double log_density(const std::vector<double>& u, std::vector<double>& gradient) const;

    // One player in the player's own units.
    struct Player {
        double figure[kPlayerFigures];                       // spreads as spreads, not logarithms
        std::vector<double> read_at, pace_at, aim_shift, marker_at;   // by station; rad, ln, rad, rad
    };
    Player player_of(const double* u) const;
    double read_bias(const Player& p, int station) const;    // without what is peculiar to it, rad, right positive
    // The law of one putt's launch, before its outcome is seen; read_mean and read_var those of its own read's error.
    struct PuttLaw { LaunchLaw launch; DirectionLaw direction; double read_mean = 0, read_var = 0; };
    PuttLaw law_of(const Player& p, std::size_t putt) const;
    PuttLaw law_of(const Player& p, const SeenPutt& putt) const;

    const std::vector<StationResponse>& stations() const { return *stations_; }
    const std::vector<SeenPutt>& putts() const { return putts_; }
    const PuttEvidence& evidence(std::size_t putt) const { return evidence_[putt]; }
    const PlayerPrior& prior() const { return prior_; }

private:
    std::shared_ptr<const std::vector<StationResponse>> stations_;
    std::vector<SeenPutt> putts_;
    std::vector<PuttEvidence> evidence_;
    std::vector<double> shift_root_;     // lower triangle, row-major
    PlayerPrior prior_;
};

}  // namespace brae
