// What a survey is taken as where nobody said how its heights were taken.
#pragma once

#include "core/survey/survey.h"

#include <string>

namespace brae {

// Fewer points a square metre than this were picked one by one.
inline constexpr double kDensestLevels = 4;

struct AssumedMethod {
    SurveyMethod method = SurveyMethod::unknown;
    NoisePrior prior;      // its correlated part is what the data cannot show
    std::string sentence;  // for the warnings: as what, by what, and how to say otherwise
};

// From the density, points per m2, and the independent noise of one point that the fit found, m. A judgement: levels and
// dense clouds of a few millimetres are of a total station and a tripod scanner, noisier ones of RTK, of a drone where dense
// and of airborne lidar where not. A raster is a product of one of the last three: its nodes share the errors of its points.
AssumedMethod assumed_method(double density_per_m2, double noise_m, bool raster);

}  // namespace brae
