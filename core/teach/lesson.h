// A lesson as what was seen: stations, and at each the putts. Everything but station and outcome may be unknown.
#pragma once

#include "core/base/constants.h"
#include "core/base/vec.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// How a putt ended, as seen. High is the side of the true aim; left and right serve where a putt is straight. missed: it
// did not drop and nobody saw how.
enum class PuttOutcome { holed, passed_high, passed_low, passed_left, passed_right, short_of, lip_out, off_green, missed };

// Whose line the player aims along. own_read and retest: the player's own; marker: a peg or coin at the right spot; mark:
// a natural mark that was picked on the marker's line before the peg went.
enum class PuttPhase { own_read, marker, mark, retest };

enum class SeenAim { left, on, right };          // of the chosen line, seen from behind
enum class GateSide { left, middle, right };     // start line at a gate that stands on the marker's line
enum class StrikePlace { toe, centre, heel };
enum class StopSource { click, tape, paces };    // how the place of rest was taken

// Words of files and options, in the order of the values: "passed-high", "own-read", ...
inline constexpr std::array kOutcomeWords{"holed",    "passed-high", "passed-low", "passed-left", "passed-right",
                                          "short",    "lip-out",     "off-green",  "missed"};
inline constexpr std::array kPhaseWords{"own-read", "marker", "mark", "retest"};
inline constexpr std::array kAimWords{"left", "on", "right"};
inline constexpr std::array kGateWords{"left", "middle", "right"};
inline constexpr std::array kStrikeWords{"toe", "centre", "heel"};
inline constexpr std::array kStopWords{"click", "tape", "paces"};

// 1 sigma of the place of rest, each way, by its distance to the hole. Click, and where nobody told how: 5 cm + 2 %; tape:
// 2 cm + 0.5 %; paces: 15 cm + 8 %. Own choices.
inline double stop_sigma(std::optional<StopSource> source, double distance_m) {
    switch (source.value_or(StopSource::click)) {
        case StopSource::tape: return 0.02 + 0.005 * distance_m;
        case StopSource::paces: return 0.15 + 0.08 * distance_m;
        case StopSource::click: break;
    }
    return 0.05 + 0.02 * distance_m;
}

struct StopPlace {
    Vec2 p;
    std::optional<StopSource> source{};   // none: not told
    std::optional<double> sigma_m{};   // where it is known better than by its source
};

struct SeenPutt {
    int station = 0;                   // index into the stations
    PuttOutcome outcome = PuttOutcome::missed;
    std::optional<PuttPhase> phase{};  // none: own_read where a read was told or the marker was hidden, marker where it was seen
    std::optional<double> own_read_m{};        // where the player means to start it: offset at the hole, right positive
    double own_read_sigma_m = 0.02;            // how well that is known
    std::optional<SeenAim> aim{};
    double aim_sigma_deg = 0.5;                // of whoever looks from behind
    std::optional<GateSide> gate{};
    std::optional<StrikePlace> strike{};
    std::optional<bool> marker_seen{};
    std::optional<StopPlace> stop{};
};

// The putt that a station sets. Its numbers are worked out anew from the surface.
struct LessonStation {
    std::string label;
    Vec2 ball, hole;
    std::optional<Vec2> marker{};      // none: on the true line
    double past_m = kUsualPastM;
};

// A place farther from the hole was mistyped: the length of the putt and 10 m, which a putt that runs off a tier stays within. Own choice.
inline double farthest_stop_m(const LessonStation& s) { return distance(s.ball, s.hole) + 10; }

struct Lesson {
    double green_speed_ft = 10, green_speed_sigma_ft = kGreenSpeedSigmaFt;
    std::vector<LessonStation> stations;
    std::vector<SeenPutt> putts;       // in the order in which they were hit
};

}  // namespace brae
