// A survey as it was handed over, in metres in the green's local frame, before any surface is fitted to it.
#pragma once

#include "core/survey/frame.h"
#include "core/survey/outline.h"
#include "core/survey/survey_facts.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// A point with a code that a surveyor picked on purpose (edge, tier, hole, mark); kept apart from the mass points.
struct CodedPoint {
    Vec3 p;
    std::string name;   // point number or name, may be empty
    std::string code;   // as written in the file
};

// A line that a coded string describes, such as the top or toe of a tier.
struct Breakline {
    std::string code;
    std::vector<Vec3> points;
};

// A fixed thing on the ground that tapes can be laid from: sprinkler head, drain cover, nail.
struct ReferenceMark {
    std::string name;         // short, unique on the green: "S1"
    std::string description;  // "sprinkler head, front left"
    Vec3 p;
    friend bool operator==(const ReferenceMark&, const ReferenceMark&) = default;
};

// Standard deviations of the height noise, metres. A negative value means "not known, estimate from the data".
struct NoisePrior {
    double independent_m = -1;
    double correlated_m = -1;
    double correlation_length_m = 3.0;
};
NoisePrior noise_prior(SurveyMethod method);

// Flags beside the class (the lower eight bits, numbers of LAS 1.4 table 17: 2 ground, 7 and 18 noise, ...). kNoClass: the
// file of this point tells none.
inline constexpr std::uint16_t kWithheld = 0x100, kOverlap = 0x200, kSynthetic = 0x400, kNoClass = 0x8000, kClassBits = 0xff;

struct Survey {
    Frame frame;
    SurveyMethod method = SurveyMethod::unknown;
    SurveyFacts facts;                     // its method is the one above
    std::vector<std::string> files;

    std::vector<Vec3> points;              // heights on the turf, local metres
    std::vector<std::uint16_t> classes;    // empty, or as long as points: class and flags as the file tells them
    std::vector<std::uint16_t> strips;     // empty, or as long as points: which flight line or setup, 0 where not told
    std::vector<std::uint8_t> removed;     // same length as points after cleaning: 0 kept, else a RemovalReason
    std::optional<double> grid_spacing_m;  // set when the points come from a raster
    std::vector<CodedPoint> coded;         // every coded point, also those used below
    std::vector<Breakline> breaklines;
    std::vector<ReferenceMark> marks;
    std::vector<Vec3> checks;              // plain levels beside a cloud or raster: compared with the surface, no part of it
    std::optional<Vec3> todays_hole;
    std::optional<Outline> outline;        // from a file or from codes; none: the boundary of the data is used

    std::size_t points_read = 0;           // rows or vertices in the files, before any were dropped
    std::vector<std::string> warnings;     // each one sentence
};

// Why a point is no part of the surface. The points stay in the survey, so that they can be shown and put back.
enum RemovalReason : std::uint8_t {
    kept = 0,
    above_turf = 1,
    below_turf = 2,
    outside_clip = 3,
    sparse = 4,
    other_class = 5,   // the file says that it is no ground: a building, a plant, noise
    double_strip = 6,  // a second layer: another flight line or setup at another height
    withheld = 7,      // the file says that it is not to be used
};
inline constexpr std::size_t kRemovalReasons = 8;
// "above the turf", "of another class", ... for people.
const char* to_text(RemovalReason reason);

}  // namespace brae
