#include "core/terrain/check_points.h"

#include "core/terrain/spline_fit.h"
#include "tests/core/terrain/fixtures.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>

using namespace brae;
using namespace brae::test;

namespace {

// A surface on 30 x 30 m that stands `dome` up in its middle against 12 m from it, with errors of 3 mm over 2 m of its own, and
// levels of 3 mm noise on a 4 m grid with the dome not in them.
TerrainModel surveyed(double dome, double tilt, std::uint64_t seed, double level_step = 4) {
    TerrainModel t;
    const Field own(2, seed);
    SplineGrid g = knot_layout({0, 0, 30, 30}, 0.5, {0, 0});
    for (int j = 0; j < g.rows; ++j)
        for (int i = 0; i < g.columns; ++i) {
            const double x = g.x0 + i * g.cell, y = g.y0 + j * g.cell, r2 = (x - 15) * (x - 15) + (y - 15) * (y - 15);
            g.coefficients[static_cast<std::size_t>(j) * g.columns + i] = 0.02 * x - dome * r2 / 144 + tilt * y + 0.003 * own.at(x, y) + 0.010;
        }
    t.surface = std::make_shared<const SplineSurface>(g);
    t.error = {0.003, 2, 0, 3};
    Random random(seed + 500);
    for (double y = 3; y <= 27; y += level_step)
        for (double x = 3; x <= 27; x += level_step) t.checks.push_back({x, y, 0.02 * x + 0.003 * random.normal()});
    return t;
}

}  // namespace

TEST_CASE("a dome of known size is found within its standard error as often as that says, and told") {
    int within = 0, twice = 0, found = 0;
    constexpr int kSeeds = 60;
    for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
        const CheckResult c = compare_with_checks(surveyed(0.030, 0, seed));
        REQUIRE(c.fitted);
        CHECK(c.radius_m == doctest::Approx(12));
        const double off = std::abs(c.dome_m - 0.030) / c.dome_se_m;
        within += off < 1, twice += off < 2, found += c.domed;
    }
    MESSAGE(within << " within one, " << twice << " within two of " << kSeeds);
    CHECK(within >= 32);   // 41 expected, deviation 3.6
    CHECK(within <= 51);
    CHECK(twice >= 54);
    CHECK(found == kSeeds);
    const CheckResult c = compare_with_checks(surveyed(0.030, 0, 1));
    CHECK(c.dome_slope() == doctest::Approx(0.005).epsilon(0.25));   // 2 * 0.03 / 12
    CHECK(dome_sentence(c).find("stands up in the middle by") != std::string::npos);
    CHECK(dome_sentence(compare_with_checks(surveyed(-0.030, 0, 1))).find("sinks in the middle by") != std::string::npos);
}

TEST_CASE("without a dome or a tilt none is claimed in more than one survey in twenty, with many checks and with few") {
    constexpr int kSeeds = 400;
    for (const double step : {6.0, 12.0}) {
        int domed = 0, tilted = 0, fitted = 0;
        for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
            const CheckResult c = compare_with_checks(surveyed(0, 0, 1000 + seed, step));
            domed += c.domed, tilted += c.tilted, fitted += c.fitted;
        }
        MESSAGE(step << " m: domed " << domed << ", tilted " << tilted << " of " << kSeeds);
        CHECK(fitted == kSeeds);
        CHECK(domed <= 25);    // 20 expected at most, deviation 4.4
        CHECK(tilted <= 25);
    }
}

TEST_CASE("a tilt is told from a dome, and an even offset from both") {
    const CheckResult c = compare_with_checks(surveyed(0, 0.004, 3));
    CHECK(c.tilted);
    CHECK_FALSE(c.domed);
    CHECK(c.tilt_y == doctest::Approx(0.004).epsilon(0.25));
    const CheckResult level = compare_with_checks(surveyed(0, 0, 3));
    CHECK(level.mean_m == doctest::Approx(0.010).epsilon(0.2));
    CHECK(level.rms_m > std::abs(level.mean_m));
    CHECK(level.point_noise_m == doctest::Approx(0.003).epsilon(0.5));
    CHECK_FALSE(level.tilted);
    CHECK(dome_sentence(level).empty());
}

TEST_CASE("few check points, or such on one line, settle no dome") {
    TerrainModel t = surveyed(0.03, 0, 4);
    std::erase_if(t.checks, [](const Vec3& p) { return p.y > 4; });
    t.checks.push_back({5, 3, 0.1});
    t.checks.push_back({9, 3, 0.18});
    CHECK(t.checks.size() >= 8);
    const CheckResult line = compare_with_checks(t);
    CHECK(line.count == t.checks.size());
    CHECK_FALSE(line.fitted);
    t.checks.resize(5);
    CHECK_FALSE(compare_with_checks(t).fitted);
    t.checks.clear();
    CHECK(compare_with_checks(t).count == 0);
}

TEST_CASE("check points are plain levels beside a cloud and marks, inside the green, and no part of the fit") {
    Survey survey = cloud(ellipse(8, 6, 7, 5), rolling_green, 60, 0.003, 0, 1, 9);
    const auto fit = [](const Survey& s) {
        Progress progress;
        return build_terrain(s, {}, progress);
    };
    const TerrainModel before = fit(survey);
    CHECK(before.checks.empty());
    survey.checks = {{8, 6, 0.5}, {8, 11, 0.1}, {8, 30, 0.1}};   // the second 0.0 m from the edge, the third outside
    survey.marks = {{"S1", "sprinkler head", {5, 6, rolling_green(5, 6).h}}};
    const TerrainModel after = fit(survey);
    CHECK(after.checks.size() == 2);
    CHECK(after.surface->grid().coefficients == before.surface->grid().coefficients);
    // Levels that stand alone have nothing beside them.
    Survey levels = raster(ellipse(8, 6, 7, 5), rolling_green, 1.0);
    levels.grid_spacing_m.reset();
    levels.method = SurveyMethod::total_station;
    levels.marks = survey.marks;
    CHECK(fit(levels).checks.empty());
}
