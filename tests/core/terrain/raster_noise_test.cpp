#include "core/terrain/raster_noise.h"

#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;

namespace {

std::vector<Vec3> nodes(const Surface& f, double spacing, int side, const std::function<double(double, double)>& noise) {
    std::vector<Vec3> out;
    for (int j = 0; j < side; ++j)
        for (int i = 0; i < side; ++i)
            out.push_back({i * spacing, j * spacing, f(i * spacing, j * spacing).h + noise(i * spacing, j * spacing)});
    return out;
}

}  // namespace

TEST_CASE("an exact raster has no noise, tiers and swells included") {
    const auto none = [](double, double) { return 0.0; };
    CHECK(raster_noise(nodes(rolling_green, 0.25, 100, none), 0.25).total_m() == 0);
    CHECK(raster_noise(nodes(rolling_green, 0.5, 60, none), 0.5).total_m() == 0);
    CHECK(raster_noise(nodes(two_tiers, 0.25, 100, none), 0.25).total_m() == 0);
    CHECK(raster_noise(nodes(two_tiers, 0.5, 56, none), 0.5).total_m() == 0);
}

TEST_CASE("independent noise on a raster is measured to a tenth, beside a tier too") {
    for (const double sigma : {0.001, 0.005, 0.020}) {
        Random random(3);
        const RasterNoise n = raster_noise(nodes(two_tiers, 0.25, 100, [&](double, double) { return sigma * random.normal(); }), 0.25);
        CHECK(n.total_m() == doctest::Approx(sigma).epsilon(0.1));
        CHECK(n.effective_m() < 1.6 * sigma);
    }
}

TEST_CASE("correlated noise is measured with its reach, and counts for more than its size") {
    const Field field(0.5, 9);
    const RasterNoise n = raster_noise(nodes(rolling_green, 0.25, 120, [&](double x, double y) { return 0.006 * field.at(x, y); }), 0.25);
    CHECK(n.total_m() == doctest::Approx(0.006).epsilon(0.25));
    CHECK(n.length_m > 0.3);
    CHECK(n.length_m < 0.7);
    // Closed form: the power at long wavelengths is that of independent noise times the root of 2 pi L^2 over the cell.
    CHECK(n.effective_m() == doctest::Approx(0.006 * std::sqrt(2 * kPi) * 0.5 / 0.25).epsilon(0.4));
}

TEST_CASE("a raster that lies turned in the local frame is read along its own rows") {
    const double angle = 0.03, scale = 0.2499;  // nodes of another projection
    for (const double sigma : {0.0, 0.001}) {
        Random random(3);
        std::vector<Vec3> turned;
        for (int j = 0; j < 100; ++j)
            for (int i = 0; i < 100; ++i) {
                const double x = scale * (std::cos(angle) * i - std::sin(angle) * j), y = scale * (std::sin(angle) * i + std::cos(angle) * j);
                turned.push_back({x, y, two_tiers(x, y).h + sigma * random.normal()});
            }
        const RasterNoise n = raster_noise(turned, 0.25);
        CHECK(n.measured);
        CHECK(n.total_m() == doctest::Approx(sigma).epsilon(0.1));
    }
    // Strewn points are no raster.
    Random random(5);
    std::vector<Vec3> strewn;
    for (int k = 0; k < 5000; ++k) strewn.push_back({random.uniform(0, 20), random.uniform(0, 20), random.normal()});
    CHECK_FALSE(raster_noise(strewn, 0.25).measured);
}

TEST_CASE("too few nodes or too wide a spacing tell nothing, and say so") {
    Random random(3);
    CHECK(raster_noise(nodes(rolling_green, 0.5, 60, [&](double, double) { return 0.01 * random.normal(); }), 0.5).measured);
    CHECK_FALSE(raster_noise(nodes(rolling_green, 2.0, 40, [&](double, double) { return 0.01 * random.normal(); }), 2.0).measured);
    CHECK_FALSE(raster_noise(nodes(rolling_green, 0.5, 7, [&](double, double) { return 0.01 * random.normal(); }), 0.5).measured);
}
