#include "core/terrain/assumed_method.h"

#include <fmt/format.h>

namespace brae {

namespace {

// Between the ranges of noise on turf (core/survey/survey.cpp): total station or tripod scanner to 5 mm, RTK and drone from 10.
constexpr double kFineM = 0.0075;
constexpr double kDenseCloud = 100;      // points per m2: photogrammetry lies above, airborne lidar below
constexpr double kFineRasterM = 0.005;   // averaging over a node's points has made its noise smaller

}  // namespace

AssumedMethod assumed_method(double density, double noise_m, bool raster) {
    AssumedMethod out;
    // The method, and what people call its result.
    const char* name = "";
    if (raster) {
        out.method = noise_m < kFineRasterM ? SurveyMethod::tripod_scan : SurveyMethod::airborne_lidar;
        name = noise_m < kFineRasterM ? "a close scan" : "airborne lidar";
    } else if (density < kDensestLevels) {
        out.method = noise_m < kFineM ? SurveyMethod::total_station : SurveyMethod::rtk;
        name = noise_m < kFineM ? "levels of a total station" : "levels of an RTK rover";
    } else if (noise_m < kFineM) {
        out.method = SurveyMethod::tripod_scan;
        name = "a tripod scan";
    } else {
        out.method = density >= kDenseCloud ? SurveyMethod::drone : SurveyMethod::airborne_lidar;
        name = density >= kDenseCloud ? "a drone survey" : "airborne lidar";
    }
    out.prior = noise_prior(out.method);

    // What it means: the error that neighbours share is a guess and is in the standard errors.
    const std::string shared = fmt::format("an error of {:.2g} mm that hangs together over {:.0f} m is counted in", 1000 * out.prior.correlated_m,
                                           out.prior.correlation_length_m);
    if (raster)
        out.sentence = fmt::format("how the heights were taken is not known; by its scatter of {:.1f} mm the raster is taken as a product of {}, and {}; "
                                   "--method says otherwise", 1000 * noise_m, name, shared);
    else
        out.sentence = fmt::format("how the heights were taken is not known; by their density of {:.{}f} points per m2 and scatter of {:.1f} mm they are "
                                   "taken as {}, and {}; --method says otherwise", density, density < 10 ? 1 : 0, 1000 * noise_m, name, shared);
    return out;
}

}  // namespace brae
