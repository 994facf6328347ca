// The stated standard errors against the truth, with few seeds; tests/coverage/run measures 30 and prints the table.
#include "tests/terrain-samples/coverage.h"

#include "core/terrain/check_points.h"

#include "tests/support/support.h"

#include <algorithm>

using namespace brae;
using namespace brae::test;

namespace {

ZonedCoverage measure(Delivery delivery, int seeds, const NoiseChange& change = {}) {
    const Scratch scratch;
    ZonedCoverage out;
    for (const auto& green : samples::all_greens())
        for (int seed = 1; seed <= seeds; ++seed) {
            const TerrainModel t = survey_again(green, delivery, 7000 + static_cast<std::uint64_t>(seed), scratch.path(), change);
            add_coverage(out, green, t);
            // It says what it took the survey as, once.
            const auto says = [](const std::string& w) { return w.find("--method says otherwise") != std::string::npos; };
            CHECK(std::count_if(t.warnings.begin(), t.warnings.end(), says) == 1);
        }
    const Coverage& c = out.off;
    MESSAGE(std::string(to_text(delivery)) << " height " << c.h1 / c.n << " " << c.h2 / c.n << ", slope " << c.s1 / c.n << " " << c.s2 / c.n);
    return out;
}

// Within one and two standard errors; the noise of a few greens hangs together, so the pooled shares scatter by some points.
void check(const Coverage& c, double least1, double most1, double least2) {
    CHECK(c.h1 / c.n > least1);
    CHECK(c.h1 / c.n < most1);
    CHECK(c.s1 / c.n > least1);
    CHECK(c.s1 / c.n < most1);
    CHECK(c.h2 / c.n > least2);
    CHECK(c.s2 / c.n > least2);
}

}  // namespace

TEST_CASE("dense surveys of no stated method lie within their stated errors as often as they should") {
    for (const Delivery d : {Delivery::raster, Delivery::tripod}) {
        const ZonedCoverage c = measure(d, d == Delivery::raster ? 3 : 1);
        check(c.off, 0.60, 0.76, 0.88);
        CHECK(c.off.height_rms() < 0.005);
        CHECK(c.off.slope_rms() < 0.002);
        // The tier belongs to the sentence about dense formats too.
        CHECK(c.tier.height_rms() < 0.005);
        CHECK(c.tier.slope_rms() < 0.002);
    }
}

TEST_CASE("levels and a lidar-like cloud are at least covered by their stated errors, and not by wild ones, tiers too") {
    for (const Delivery d : {Delivery::levels, Delivery::lidar}) {
        const ZonedCoverage c = measure(d, 2);
        check(c.off, 0.60, 0.80, 0.90);
        check(c.tier, 0.52, 0.85, 0.84);
        CHECK(c.off.height_rms() < 0.015);
        CHECK(c.off.slope_rms() < 0.010);
    }
}

TEST_CASE("independent noise that is not what the method is known for is measured, and the stated errors follow it") {
    for (const double factor : {0.5, 2.0}) {
        const ZonedCoverage c = measure(Delivery::lidar, 1, {factor, 1, 1});
        check(c.off, 0.58, 0.82, 0.88);
    }
}

TEST_CASE("an error that neighbours share cannot be measured: larger than expected it is not covered, and smaller it is too well") {
    const ZonedCoverage large = measure(Delivery::lidar, 2, {1, 2, 1}), small = measure(Delivery::lidar, 2, {1, 0.5, 1});
    CHECK(large.off.h1 / large.off.n < 0.60);
    CHECK(small.off.h1 / small.off.n > 0.76);
}

TEST_CASE("levels beside a cloud check its surface through the files: no dome where there is none, one of 30 mm where the cloud has it") {
    const Scratch scratch;
    const samples::SampleGreen green(samples::SampleGreen::Kind::tilted);
    write_cloud(green, samples::lidar(), scratch / "lidar.ply");
    write_levels(green, scratch / "levels.csv");
    write_outline(green, scratch / "outline.geojson");
    ReadOptions options;
    options.crs = green.crs;
    options.outline = scratch / "outline.geojson";
    Progress progress;
    Survey survey = read_survey({scratch / "lidar.ply", scratch / "levels.csv"}, options, progress);
    CHECK(survey.checks.size() > 80);
    clean_survey(survey, progress);
    const TerrainModel plain = build_terrain(survey, {}, progress);
    const CheckResult none = compare_with_checks(plain);
    CHECK(none.count > 80);
    CHECK_FALSE(none.domed);
    CHECK(none.rms_m < 0.010);

    const Box box = survey.outline->box();
    const Vec2 middle{(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2};
    for (Vec3& p : survey.points) p.z -= 0.030 * ((p.x - middle.x) * (p.x - middle.x) + (p.y - middle.y) * (p.y - middle.y)) / (none.radius_m * none.radius_m);
    const CheckResult bent = compare_with_checks(build_terrain(survey, {}, progress));
    MESSAGE("dome " << 1e3 * bent.dome_m << " +- " << 1e3 * bent.dome_se_m << " mm, without " << 1e3 * none.dome_m);
    CHECK(bent.domed);
    CHECK(std::abs(bent.dome_m - none.dome_m - 0.030) < bent.dome_se_m);
}
