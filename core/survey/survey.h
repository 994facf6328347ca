// A survey as it was handed over, in metres in the green's local frame, before any surface is fitted to it.
#pragma once

#include "core/survey/frame.h"
#include "core/survey/outline.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// How the heights were taken; sets the prior of the noise where the data cannot tell.
enum class SurveyMethod { unknown, total_station, tripod_scan, rtk, drone, airborne_lidar, grid };

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

struct Survey {
    Frame frame;
    SurveyMethod method = SurveyMethod::unknown;
    std::vector<std::string> files;

    std::vector<Vec3> points;              // heights on the turf, local metres
    std::vector<std::uint8_t> removed;     // same length as points after cleaning: 0 kept, else a RemovalReason
    std::optional<double> grid_spacing_m;  // set when the points come from a raster
    std::vector<CodedPoint> coded;         // every coded point, also those used below
    std::vector<Breakline> breaklines;
    std::vector<ReferenceMark> marks;
    std::optional<Vec3> todays_hole;
    std::optional<Outline> outline;        // from a file or from codes; none: the boundary of the data is used

    std::size_t points_read = 0;           // rows or vertices in the files, before any were dropped
    std::vector<std::string> warnings;     // each one sentence
};

enum RemovalReason : std::uint8_t { kept = 0, above_turf = 1, below_turf = 2, outside_clip = 3, sparse = 4 };

}  // namespace brae
