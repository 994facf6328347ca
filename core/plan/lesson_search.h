// Which ball spots make a lesson: one chooser for each, on the quick reads.
#pragma once

#include "core/plan/spot_reads.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

struct ChosenSpot {
    Vec2 ball;
    double past_m = kUsualPastM;
    std::string note;
    std::optional<std::size_t> like = {};   // the spot of this list that it repeats, whose label the note then names
};
struct Choice {
    std::vector<ChosenSpot> spots;
    std::string missing;      // one sentence on what cannot be had, else empty
};

Choice choose_fall_line(const SpotReader& reader, const StationRequest& request);
Choice choose_ladder(const SpotReader& reader, const StationRequest& request);
Choice choose_both_hands(const SpotReader& reader, const StationRequest& request);
Choice choose_ring(const SpotReader& reader, const StationRequest& request);
// The readers of dead weight, usual pace and firm.
Choice choose_three_paces(const SpotReader& dead, const SpotReader& usual, const SpotReader& firm);

inline constexpr double kFirmPastM = 0.60;

}  // namespace brae
