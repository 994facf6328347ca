#include "core/terrain/assumed_method.h"

#include <doctest/doctest.h>

using namespace brae;

TEST_CASE("a survey of unknown method is taken as what its density and scatter look like") {
    // Ranges of noise on turf: total station 3 mm, tripod 3-5, RTK 10-20, drone 10-30, airborne lidar 20-50 (memory).
    CHECK(assumed_method(400, 0.0040, false).method == SurveyMethod::tripod_scan);
    CHECK(assumed_method(30, 0.0250, false).method == SurveyMethod::airborne_lidar);
    CHECK(assumed_method(300, 0.0200, false).method == SurveyMethod::drone);
    CHECK(assumed_method(0.4, 0.0030, false).method == SurveyMethod::total_station);
    CHECK(assumed_method(0.4, 0.0150, false).method == SurveyMethod::rtk);
    CHECK(assumed_method(16, 0.0010, true).method == SurveyMethod::tripod_scan);
    CHECK(assumed_method(16, 0.0000, true).prior.correlated_m > 0);
    CHECK(assumed_method(400, 0.0040, false).sentence.find("as a tripod scan") != std::string::npos);
    CHECK(assumed_method(400, 0.0040, false).sentence.find("--method says otherwise") != std::string::npos);
}
