#include "core/survey/frame.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/survey/choose_frame.h"
#include "core/survey/coordinate_system.h"
#include "tests/support/support.h"

#include <thread>

using namespace brae;

namespace {

Frame frame_at(const std::string& crs, Vec2 corner, double size, std::vector<std::string>* warnings = nullptr) {
    std::vector<std::string> ignored;
    const SystemInfo system = crs.empty() ? SystemInfo{} : parse_system(crs, "test");
    return Frame(choose_frame({corner.x, corner.y, corner.x + size, corner.y + size}, system, 12.7, warnings ? *warnings : ignored));
}

// Distance on the ellipsoid WGS 84 / GRS 80 by T. Vincenty, "Direct and inverse solutions of geodesics on the ellipsoid",
// Survey Review 23(176):88-93, 1975. Our own code, independent of PROJ.
double vincenty(Vec2 a, Vec2 b) {
    const double major = 6378137.0, f = 1 / 298.257222101, minor = major * (1 - f);
    const double u1 = std::atan((1 - f) * std::tan(radians(a.y))), u2 = std::atan((1 - f) * std::tan(radians(b.y)));
    const double l = radians(b.x - a.x);
    double lambda = l, sigma = 0, sin_sigma = 0, cos_sigma = 0, cos2_alpha = 0, cos_2sm = 0;
    for (int k = 0; k < 50; ++k) {
        const double p = std::cos(u2) * std::sin(lambda);
        const double q = std::cos(u1) * std::sin(u2) - std::sin(u1) * std::cos(u2) * std::cos(lambda);
        sin_sigma = std::hypot(p, q);
        cos_sigma = std::sin(u1) * std::sin(u2) + std::cos(u1) * std::cos(u2) * std::cos(lambda);
        sigma = std::atan2(sin_sigma, cos_sigma);
        const double sin_alpha = std::cos(u1) * std::cos(u2) * std::sin(lambda) / sin_sigma;
        cos2_alpha = 1 - sin_alpha * sin_alpha;
        cos_2sm = cos_sigma - 2 * std::sin(u1) * std::sin(u2) / cos2_alpha;
        const double c = f / 16 * cos2_alpha * (4 + f * (4 - 3 * cos2_alpha));
        lambda = l + (1 - c) * f * sin_alpha * (sigma + c * sin_sigma * (cos_2sm + c * cos_sigma * (2 * cos_2sm * cos_2sm - 1)));
    }
    const double uu = cos2_alpha * (major * major - minor * minor) / (minor * minor);
    const double big_a = 1 + uu / 16384 * (4096 + uu * (-768 + uu * (320 - 175 * uu)));
    const double big_b = uu / 1024 * (256 + uu * (-128 + uu * (74 - 47 * uu)));
    const double ds = big_b * sin_sigma *
                      (cos_2sm + big_b / 4 * (cos_sigma * (2 * cos_2sm * cos_2sm - 1) -
                                              big_b / 6 * cos_2sm * (4 * sin_sigma * sin_sigma - 3) * (4 * cos_2sm * cos_2sm - 3)));
    return minor * big_a * (sigma - ds);
}

}  // namespace

TEST_CASE("coordinates go to the map and back within a tenth of a millimetre in every kind of system") {
    struct Place {
        const char* crs;
        Vec2 corner;
        double size;
        bool tm;
    };
    // Near the central meridian of the British grid the scale is 0.9996: local TM; near 180 km east of it, 1.
    const Place places[] = {{"", {12.5, 7.25}, 40, false},
                            {"", {484958.2, 6632656.7}, 40, false},
                            {"EPSG:27700", {400123.4, 300456.7}, 40, true},
                            {"EPSG:27700", {580200.0, 300456.7}, 40, false},
                            {"EPSG:2154", {484958, 6632656}, 40, true},
                            {"EPSG:4326", {-2.5, 56.3}, 0.0005, true},
                            {"EPSG:3857", {-311000, 7640000}, 60, true},
                            {"EPSG:2263", {981000, 199000}, 130, false},
                            {"EPSG:32633", {500000, 5300000}, 40, true}};
    for (const Place& place : places) {
        CAPTURE(place.crs);
        CAPTURE(place.corner.x);
        const Frame frame = frame_at(place.crs, place.corner, place.size);
        CHECK(frame.spec().local_tm == place.tm);
        CHECK(frame.has_crs() == !std::string(place.crs).empty());
        for (double x : {-3.0, 0.0, 17.5, 41.0})
            for (double y : {-2.0, 0.0, 23.25, 44.0}) {
                const Vec2 p{x, y};
                CHECK(distance(frame.from_map(frame.to_map(p)), p) < 1e-4);
                if (frame.has_crs()) CHECK(distance(frame.from_lonlat(frame.to_lonlat(p)), p) < 1e-4);
            }
        CHECK(distance(frame.to_map({0, 0}), frame.spec().origin_map) < 1e-6);
        CHECK(frame.spec().origin_height_m == 12);
        // The kept data lie in the first square: its corner less than a metre (or a foot) from the origin.
        const Vec2 corner = frame.from_map(place.corner);
        CHECK(corner.x > -0.05);
        CHECK(corner.y > -0.05);
        if (frame.has_crs() || place.corner.x > 1e4) CHECK(norm(corner) < 1.5);
    }
}

TEST_CASE("local transverse Mercator lengths are those on the ellipsoid and plain grid lengths are not") {
    // Ellipsoid GRS 80 of EPSG:4171; oracle: Vincenty (1975) coded above; derived.
    for (const char* crs : {"EPSG:2154", "EPSG:4171"}) {
        const bool degrees = std::string(crs) == "EPSG:4171";
        const Frame frame = frame_at(crs, degrees ? Vec2{0.182, 46.7595} : Vec2{484958, 6632656}, degrees ? 0.0004 : 40);
        REQUIRE(frame.spec().local_tm);
        const Transformer to_degrees(frame.spec().crs_wkt, geographic_wkt(frame.spec().crs_wkt));
        const Vec2 pairs[][2] = {{{0, 0}, {40, 0}}, {{0, 0}, {0, 40}}, {{3, 38}, {37, 1}}, {{10, 10}, {13, 14}}};
        for (const auto& [a, b] : pairs) {
            const double on_ellipsoid = vincenty(to_degrees.forward(frame.to_map(a)), to_degrees.forward(frame.to_map(b)));
            CHECK(on_ellipsoid == doctest::Approx(distance(a, b)).epsilon(2e-7));
        }
        if (!degrees) {
            const double on_map = distance(frame.to_map({0, 0}), frame.to_map({40, 0}));
            CHECK(on_map == doctest::Approx(40 * frame.spec().scale_factor).epsilon(1e-6));
            CHECK(std::abs(on_map - 40) > 0.02);
        }
    }
}

TEST_CASE("a turned local frame keeps rows of the survey's grid level and its map affine within a tenth of a millimetre") {
    const Frame frame = frame_at("EPSG:2154", {484958, 6632656}, 40);
    const FrameSpec& spec = frame.spec();
    CHECK(std::abs(spec.convergence_deg) > 1);
    // Convergence of a conic projection: (lon - lon0) sin(latitude of origin), about; derived.
    CHECK(spec.convergence_deg == doctest::Approx((spec.centre_lon_deg - 3) * 0.7256).epsilon(0.002));
    for (double x : {0.0, 20.0, 40.0})
        for (double y : {0.0, 20.0, 40.0}) {
            const Vec2 affine = spec.origin_map + (spec.scale_factor / spec.metres_per_unit) * Vec2{x, y};
            CHECK(distance(frame.to_map({x, y}), affine) < 1e-4);
        }
}

TEST_CASE("Web Mercator is brought to true metres and the factor is said") {
    std::vector<std::string> warnings;
    // 52 degrees north: 1/cos(52 deg) = 1.624 (check values, derived).
    const Vec2 map = Transformer(parse_system("EPSG:4326", "t").wkt, parse_system("EPSG:3857", "t").wkt).forward(Vec2{-1.0, 52.0});
    const Frame frame = frame_at("EPSG:3857", map, 50, &warnings);
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].find("1.6") != std::string::npos);
    CHECK(frame.spec().scale_factor == doctest::Approx(1.624).epsilon(0.004));
    const double side = distance(frame.from_map(map), frame.from_map(map + Vec2{50, 0}));
    CHECK(side == doctest::Approx(50 * std::cos(radians(52.0))).epsilon(0.003));
}

TEST_CASE("feet of a state plane system become metres") {
    // EPSG:2263 counts in US survey feet; its scale at this place lies within 1e-4 of 1, so that it needs no local TM.
    const Frame frame = frame_at("EPSG:2263", {981000, 199000}, 130);
    CHECK(frame.spec().metres_per_unit == doctest::Approx(1200.0 / 3937.0));
    CHECK(distance(frame.from_map({981000, 199000}), frame.from_map({981100, 199000})) == doctest::Approx(30.48006).epsilon(1e-4));
}

TEST_CASE("conversions may be asked for from several threads at once") {
    const Frame frame = frame_at("EPSG:2154", {484958, 6632656}, 40);
    const Vec2 map = frame.to_map({12, 34}), lonlat = frame.to_lonlat({12, 34});
    std::vector<int> wrong(4, 0);
    {
        std::vector<std::jthread> threads;
        for (std::size_t t = 0; t < wrong.size(); ++t)
            threads.emplace_back([&, t] {
                const Frame copy = frame;
                for (int k = 0; k < 300; ++k)
                    wrong[t] += !(copy.to_map({12, 34}) == map) + !(copy.to_lonlat({12, 34}) == lonlat);
            });
    }
    for (int w : wrong) CHECK(w == 0);
}

TEST_CASE("text that names no system, and systems without a plan, are refused in one sentence") {
    CHECK_THROWS_AS(parse_system("EPSG:99999999", "--crs"), Error);
    CHECK_THROWS_AS(parse_system("the usual one", "--crs"), Error);
    CHECK_THROWS_AS(parse_system("EPSG:4978", "--crs"), Error);
    CHECK_THROWS_AS(parse_system("/etc/hostname", "--crs"), Error);
    CHECK_THROWS_AS(Frame().to_lonlat({0, 0}), Error);
    // A compound system says the unit of its heights: EPSG:6360 is NAVD88 height in US survey feet.
    const SystemInfo compound = parse_system("EPSG:2263+6360", "--crs");
    REQUIRE(compound.metres_per_height.has_value());
    CHECK(*compound.metres_per_height == doctest::Approx(1200.0 / 3937.0));
    CHECK(compound.name == "EPSG:2263");
}

// Ordnance Survey, A guide to coordinate systems in Great Britain, worked example of the transverse Mercator (from memory):
// 52 39 27.2531 N, 1 43 4.5177 E on the Airy ellipsoid is E 651409.903, N 313177.270.
TEST_CASE("the National Grid comes back to latitude and longitude as in the worked example of its guide") {
    const std::string grid = parse_system("EPSG:27700", "test").wkt;
    const Vec2 lonlat = Transformer(grid, geographic_wkt(grid)).forward({651409.903, 313177.270});
    CHECK(std::abs(lonlat.y - (52 + 39 / 60.0 + 27.2531 / 3600)) < 5e-8);
    CHECK(std::abs(lonlat.x - (1 + 43 / 60.0 + 4.5177 / 3600)) < 5e-8);
}
