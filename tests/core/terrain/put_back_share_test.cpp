#include "core/terrain/put_back_share.h"

#include "core/base/random.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {

// A level square of 10 m at height 0.
TerrainModel level() {
    TerrainModel t;
    t.outline = Outline({{0, 0}, {10, 0}, {10, 10}, {0, 10}}, OutlineSource::drawn);
    t.surface = std::make_shared<const SplineSurface>(SplineGrid{16, 16, -1, -1, 1, std::vector<double>(256, 0.0)});
    return t;
}

std::vector<Vec3> strewn(std::size_t n, double sigma, std::uint64_t seed, double x0 = 0) {
    Random random(seed);
    std::vector<Vec3> out;
    for (std::size_t k = 0; k < n; ++k) out.push_back({x0 + random.uniform(0, 10), random.uniform(0, 10), sigma * random.normal()});
    return out;
}

}  // namespace

TEST_CASE("points that lie on the surface as the others do are turf; a standing thing is none") {
    const PutBackShare turf = put_back_share(level(), {strewn(400, 0.004, 1), strewn(20000, 0.004, 2), 1, 1});
    CHECK(turf.points == 400);
    CHECK(turf.scatter_m == doctest::Approx(0.004).epsilon(0.1));
    CHECK(turf.noise_rise == doctest::Approx(1).epsilon(0.01));
    CHECK(!turf.no_turf());

    // 400 of 20,400 at 0.2 m against 4 mm: sqrt((400 0.04 + 20000 16e-6) / (20400 16e-6)).
    PutBackSample thing{strewn(400, 0, 3), strewn(20000, 0.004, 2), 1, 1};
    for (Vec3& p : thing.back) p.z = 0.2;
    const PutBackShare out = put_back_share(level(), thing);
    CHECK(out.scatter_m == doctest::Approx(0.2));
    CHECK(out.noise_rise == doctest::Approx(std::sqrt((400 * 0.04 + 20000 * 16e-6) / (20400 * 16e-6))).epsilon(0.02));
    CHECK(out.no_turf());
}

TEST_CASE("thinned samples say the same, points off the green nothing, and exact ground judges by two millimetres") {
    PutBackSample whole{strewn(4000, 0.02, 4), strewn(40000, 0.004, 5), 1, 1};
    PutBackSample thin{{}, {}, 10, 10};
    for (std::size_t k = 0; k < whole.back.size(); k += 10) thin.back.push_back(whole.back[k]);
    for (std::size_t k = 0; k < whole.others.size(); k += 10) thin.others.push_back(whole.others[k]);
    const PutBackShare a = put_back_share(level(), whole), b = put_back_share(level(), thin);
    CHECK(b.points == doctest::Approx(static_cast<double>(a.points)).epsilon(0.01));
    CHECK(b.noise_rise == doctest::Approx(a.noise_rise).epsilon(0.1));
    CHECK(a.no_turf());

    CHECK(put_back_share(level(), {strewn(400, 0.5, 6, 20), strewn(1000, 0.004, 7), 1, 1}).points == 0);
    CHECK(!put_back_share(level(), {strewn(400, 0.001, 8), strewn(1000, 0, 9), 1, 1}).no_turf());
    CHECK(put_back_share(level(), {strewn(400, 0.01, 8), strewn(1000, 0, 9), 1, 1}).no_turf());
    CHECK(put_back_share(TerrainModel{}, {strewn(4, 0.01, 8), {}, 1, 1}) == PutBackShare{});
}

TEST_CASE("what was put back is what a cleaning without it takes away") {
    Survey s;
    for (int k = 0; k < 6; ++k) s.points.push_back({double(k), 0, 0});
    s.removed = {kept, kept, kept, above_turf, kept, outside_clip};
    const PutBackSample sample = put_back_sample(s, {kept, above_turf, withheld, above_turf, kept, outside_clip});
    REQUIRE(sample.back.size() == 2);
    CHECK(sample.back[0].x == 1);
    CHECK(sample.back[1].x == 2);
    CHECK(sample.others.size() == 2);
    CHECK(put_back_sample(s, {kept}).back.empty());
}
