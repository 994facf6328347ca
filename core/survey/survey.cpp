#include "core/survey/survey.h"

namespace brae {

const char* to_text(RemovalReason reason) {
    switch (reason) {
        case kept: return "kept";
        case above_turf: return "above the turf";
        case below_turf: return "below the turf";
        case outside_clip: return "outside the edge";
        case sparse: return "astray";
        case other_class: return "of another class than ground";
        case double_strip: return "of a second layer";
        case withheld: break;
    }
    return "withheld by the file";
}

// Expected height noise on turf: total station 3 mm, tripod scanner 3-5, RTK 10-20, drone 10-30 plus doming, airborne
// lidar 20-50 (docs/references.md; from memory). The split into independent and correlated parts is a judgement:
// scanner setups, GNSS fixes, drone blocks and flight strips each carry an error that neighbours share. That of a total station
// follows from its vertical index: 5 seconds of arc that stay after both faces were not read lift a point by 0.024 mm a
// metre of range, 0.5 mm over the 20 m of a green.
NoisePrior noise_prior(SurveyMethod method) {
    switch (method) {
        case SurveyMethod::total_station: return {0.003, 0.0005, 10.0};
        case SurveyMethod::tripod_scan: return {0.0035, 0.002, 3.0};
        case SurveyMethod::rtk: return {0.012, 0.006, 10.0};
        case SurveyMethod::drone: return {0.012, 0.015, 15.0};
        case SurveyMethod::airborne_lidar: return {0.025, 0.004, 3.0};
        case SurveyMethod::grid:
        case SurveyMethod::unknown: break;
    }
    return {};
}

}  // namespace brae
