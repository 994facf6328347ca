#include "core/solve/ray_family.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/roll/green_speed.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;

TEST_CASE("a ball rolled forward from a point of a ray meets the hole within a tenth of a millimetre") {
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        const auto surface = test::wavy(seed, 1.3);
        const Outline green = test::wide_green();
        for (double past : {0.0, 0.1, 0.5}) {
            const RayFamily family = trace_rays(surface, green, {0.5, 0.3}, 10, past);
            REQUIRE(family.why_none.empty());
            for (std::size_t i = 0; i < family.rays.size(); i += family.rays.size() / 20) {
                const auto& points = family.rays[i].points;
                const RayPoint& p = points[points.size() / 2];
                if (p.s < 0.1) continue;
                RollOptions o;
                o.hole = Vec2{0.5, 0.3};
                o.covered = true;
                const RollPath path = roll(surface, green, p.p, p.v, p.speed, 10, o);
                REQUIRE(path.pass);
                CHECK(std::abs(path.pass->offset_m) < 1e-4);
                CHECK(std::abs(path.pass->speed_mps - speed_at_hole(past, 10)) < 1e-3);
                CHECK(path.pass->t == doctest::Approx(p.t).epsilon(1e-3));
            }
        }
    }
}

TEST_CASE("points of a ray are equally spaced and end at the edge or where the putt would be too fast") {
    const auto surface = test::wavy(1);
    const Outline green = test::wide_green();
    const RayFamily family = trace_rays(surface, green, {0, 0}, 10, 0.3);
    for (const Ray& ray : family.rays) {
        REQUIRE(ray.points.size() > 2);
        for (std::size_t k = 1; k + 1 < ray.points.size(); ++k)
            CHECK(std::abs(ray.points[k].s - 0.20 * double(k)) < 1e-9);
        CHECK(ray.points.back().s > ray.points[ray.points.size() - 2].s);
        if (ray.end == RayEnd::left_green) CHECK(std::abs(green.signed_distance(ray.points.back().p)) < 1e-6);
    }
}

TEST_CASE("neighbours of a refined family are no farther apart than asked") {
    const auto surface = test::wavy(2);
    for (double past : {0.0, 0.02, 0.3}) {
        const RayFamily family = trace_rays(surface, test::wide_green(), {1, 1}, 10, past);
        CHECK(family.rays.size() < 2000);
        for (std::size_t i = 0; i < family.rays.size(); ++i) {
            const Ray &a = family.rays[i], &b = family.rays[(i + 1) % family.rays.size()];
            if (i + 1 < family.rays.size()) CHECK(a.parameter < b.parameter);
            const std::size_t n = std::min(a.points.size(), b.points.size());
            for (std::size_t k = 1; k < n; ++k) CHECK(distance(a.points[k].p, b.points[k].p) <= 0.25);
        }
    }
}

TEST_CASE("every spot that one ray passes is found again in the family") {
    const auto surface = test::wavy(3, 1.5);
    const Outline green = test::wide_green();
    const RayFamily family = trace_rays(surface, green, {0, 0}, 10, 0.2);
    for (double parameter : {-3.0, -1.1, 0.31, 1.7, 2.9}) {
        const Ray ray = trace_ray(surface, green, {0, 0}, 10, 0.2, parameter, 4.03);
        REQUIRE(ray.points.back().s == doctest::Approx(4.03));
        const auto hits = hits_at(family, ray.points.back().p);
        bool near = false;
        for (const RayHit& hit : hits) near = near || (std::abs(hit.parameter - parameter) < 0.02 && std::abs(hit.s - 4.03) < 0.05);
        CHECK(near);
    }
}

TEST_CASE("backwards up a slope that holds no ball a ray ends where its speed does") {
    // 9 % at 10 ft falling east; a ball that enters eastwards came from above and started at no speed. Any other angle,
    // even one off by rounding, is a path that went up and turned.
    const auto surface = test::plane(0.09, 1, 0);
    const Ray ray = trace_ray(surface, test::wide_green(), {0, 0}, 10, 0.1, 0, 1e9);
    CHECK(ray.end == RayEnd::no_putt);
    const double w = std::sqrt(1 + 0.09 * 0.09);
    const double gain = (kRollFactor * kGravity * 0.09 - level_deceleration(10)) / w;
    const double v = speed_at_hole(0.1, 10);
    CHECK(ray.points.back().s == doctest::Approx(v * v / (2 * gain) / w).epsilon(1e-3));
}

TEST_CASE("a hole on a slope that holds no ball has no rays at no pace and says so") {
    const auto surface = test::plane(0.09, 0, -1);
    const RayFamily family = trace_rays(surface, test::wide_green(), {0, 0}, 10, 0);
    CHECK(family.rays.empty());
    CHECK(family.why_none.find("no ball stops") != std::string::npos);
    // With pace there are rays, and a bound on them.
    const RayFamily some = trace_rays(surface, test::wide_green(), {0, 0}, 10, 0.3);
    CHECK_FALSE(some.rays.empty());
    CHECK(some.rays.size() <= 2000);
}

TEST_CASE("a family for a hole off the green or without an edge is refused") {
    const auto surface = test::wavy(1);
    CHECK_THROWS_AS(trace_rays(surface, test::wide_green(3), {4, 0}, 10, 0.3), Error);
    CHECK_THROWS_AS(trace_rays(surface, Outline(), {0, 0}, 10, 0.3), Error);
    CHECK_THROWS_AS(trace_rays(surface, test::wide_green(3), {0, 0}, 3, 0.3), Error);
    CHECK_THROWS_AS(trace_rays(surface, test::wide_green(3), {0, 0}, 10, -0.3), Error);
}
