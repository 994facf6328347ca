#include "core/base/error.h"
#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

#include <algorithm>

using namespace brae;
using namespace brae::test;

TEST_CASE("the summary of a plane is its slope three times, with no error but what the nodes of a product share") {
    const auto f = [](double x, double y) { return SurfaceJet{0.03 * x - 0.04 * y, 0.03, -0.04, 0, 0, 0}; };
    const SlopeSummary s = slope_summary(build(raster(ellipse(10, 9, 8, 7), f, 0.5)));
    CHECK(s.median == doctest::Approx(0.05).epsilon(1e-9));
    CHECK(s.p90 == doctest::Approx(0.05).epsilon(1e-9));
    CHECK(s.max == doctest::Approx(0.05).epsilon(1e-9));
    // 2 mm over 3 m is a slope of 0.067 points in one place, and less in the median of many.
    CHECK(s.median_se > 1e-5);
    CHECK(s.median_se < 0.0004);
}

TEST_CASE("median and 90th percentile are those of the formula over the cells") {
    const TerrainModel m = build(raster(ellipse(10, 9, 8, 7), rolling_green, 0.25));
    std::vector<double> slopes;
    const Raster& h = m.grid.height;
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i)
            if (m.grid.has(i, j)) slopes.push_back(slope_ratio(rolling_green(h.centre(i, j).x, h.centre(i, j).y)));
    std::sort(slopes.begin(), slopes.end());
    const SlopeSummary s = slope_summary(m);
    CHECK(s.median == doctest::Approx(slopes[slopes.size() / 2]).epsilon(1e-3));
    CHECK(s.p90 == doctest::Approx(slopes[slopes.size() * 9 / 10]).epsilon(1e-3));
    CHECK(s.max == doctest::Approx(slopes.back()).epsilon(1e-2));
}

TEST_CASE("the standard error of the median matches the scatter of many surveys of one green") {
    // On a plane the median follows the mean slope, so correlated error counts and independent noise hardly does.
    const auto f = [](double x, double) { return SurfaceJet{0.02 * x, 0.02, 0, 0, 0, 0}; };
    const NoisePrior prior = noise_prior(SurveyMethod::tripod_scan);
    if (!(prior.correlated_m > 0)) BRAE_SKIP("the method has no correlated part");
    double squares = 0, stated = 0;
    const int n = 40;
    for (int seed = 1; seed <= n; ++seed) {
        Survey survey = cloud(ellipse(9, 8, 8, 7), f, 10, 0.0035, prior.correlated_m, prior.correlation_length_m, static_cast<std::uint64_t>(seed));
        survey.method = SurveyMethod::tripod_scan;
        const SlopeSummary s = slope_summary(build(survey, 0.5));
        squares += (s.median - 0.02) * (s.median - 0.02) / n;
        stated += s.median_se * s.median_se / n;
    }
    MESSAGE("scatter " << 100 * std::sqrt(squares) << ", stated " << 100 * std::sqrt(stated));
    CHECK(std::sqrt(stated / squares) > 0.6);
    CHECK(std::sqrt(stated / squares) < 1.7);
}

TEST_CASE("a green without any data has no slope") {
    TerrainModel m = build(raster(ellipse(10, 9, 8, 7), rolling_green, 0.5));
    std::fill(m.grid.mask.begin(), m.grid.mask.end(), static_cast<unsigned char>(0));
    CHECK_THROWS_AS(slope_summary(m), Error);
}
