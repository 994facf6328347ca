#include "core/teach/side_doubt.h"

#include "core/base/units.h"

#include <array>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

// ln of the likelihood of the place of rest under an outcome, and where the hole is passed on the way there.
struct Explained { double log_like = -1e300, crossing_m = 0; };
Explained explained(const StationResponse& station, SeenPutt putt, PuttOutcome outcome) {
    putt.outcome = outcome;
    Explained out;
    const OutcomeStrips strips = outcome_strips(station, putt);
    if (strips.no_launch) return out;
    double top = -1e300, sum = 0;
    for (const LikelihoodStrip& k : strips.strips) top = std::max(top, k.log_weight);
    for (const LikelihoodStrip& k : strips.strips) {
        const double w = std::exp(k.log_weight - top);
        sum += w, out.crossing_m += w * station.at(k.turn, k.low).crossing_m;
    }
    out.crossing_m /= sum;
    out.log_like = top + std::log(sum);
    return out;
}

}  // namespace

std::optional<SideDoubt> side_doubt(const StationResponse& station, const SeenPutt& putt) {
    using O = PuttOutcome;
    if (!putt.stop) return std::nullopt;
    // On a straight putt high and low are words without a side.
    const bool by_hand = putt.outcome == O::passed_left || putt.outcome == O::passed_right;
    const bool by_fall = putt.outcome == O::passed_high || putt.outcome == O::passed_low;
    if (!by_hand && !by_fall && putt.outcome != O::short_of) return std::nullopt;
    if (by_fall && station.straight()) return std::nullopt;
    const bool sides_by_hand = by_hand || station.straight();
    const std::array others{O::short_of, sides_by_hand ? O::passed_left : O::passed_high, sides_by_hand ? O::passed_right : O::passed_low};

    const Explained noted = explained(station, putt, putt.outcome);
    SideDoubt out;
    out.noted = putt.outcome;
    double best = -1e300;
    for (const O other : others) {
        if (other == putt.outcome) continue;
        const Explained e = explained(station, putt, other);
        if (e.log_like <= best) continue;
        best = e.log_like, out.likelier = other, out.crossing_m = e.crossing_m;
    }
    if (best <= -1e299) return std::nullopt;
    out.odds = std::exp(std::min(best - noted.log_like, std::log(1e9)));
    if (out.odds < kDoubtOdds) return std::nullopt;
    return out;
}

std::string plain_words(PuttOutcome outcome) {
    static constexpr std::array kWords{"holed", "passed high", "passed low", "passed left", "passed right", "short", "lip-out", "off the green", "missed"};
    return kWords[static_cast<std::size_t>(outcome)];
}

std::string to_text(const SideDoubt& d, const StationResponse& station, bool feet) {
    const std::string noted = plain_words(d.noted);
    if (d.likelier == PuttOutcome::short_of) return fmt::format("noted as {}, but a ball that rests there stopped short of the hole: which is it?", noted);
    const std::string size = feet ? fmt::format("{:.0f} in", inches_from_metres(std::abs(d.crossing_m))) : fmt::format("{:.0f} cm", 100 * std::abs(d.crossing_m));
    const bool right = d.crossing_m > 0;
    const std::string side = d.likelier == PuttOutcome::passed_left || d.likelier == PuttOutcome::passed_right ? (right ? "to the right" : "to the left")
                             : right == station.high_is_right()                                                ? "on the high side"
                                                                                                               : "on the low side";
    return fmt::format("noted as {}, but a ball that rests there passed the hole {} {}: which is it?", noted, size, side);
}

}  // namespace brae
