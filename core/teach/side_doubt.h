// Whether what was seen of a putt's side fits where it came to rest. Passing high and resting low can both be true, since a
// ball goes on turning behind the hole; the station's table of rolls tells what can and what cannot.
#pragma once

#include "core/teach/outcome_strips.h"

#include <optional>
#include <string>

namespace brae {

// The outcome that was noted explains the place of rest this much worse than another one before it is questioned. Own choice.
inline constexpr double kDoubtOdds = 100;

struct SideDoubt {
    PuttOutcome noted = PuttOutcome::missed;
    PuttOutcome likelier = PuttOutcome::missed;   // short_of, or passed on a side (left or right where the putt is straight)
    double crossing_m = 0;                        // where a ball that rests there passes the hole, right positive; passed only
    double odds = 0;                              // likelier against noted; 1e9 where no launch does what was noted
};

// None where the outcome names no side and no shortness, where no place was taken, where both fit, and where no launch of the table
// ends at that place at all (the estimate says so).
std::optional<SideDoubt> side_doubt(const StationResponse& station, const SeenPutt& putt);

// "noted as passed high, but a ball that rests there passed the hole 12 cm on the low side: which is it?"
std::string to_text(const SideDoubt& doubt, const StationResponse& station, bool feet = false);

// "holed", "passed high", "short": an outcome in plain words.
std::string plain_words(PuttOutcome outcome);

}  // namespace brae
