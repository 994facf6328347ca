#include "core/base/error.h"
#include "core/base/random.h"
#include "core/survey/read_survey.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {

Survey cloud(double density, double side, std::uint64_t seed, const std::function<bool(Vec2)>& holds) {
    Survey survey;
    Random random(seed);
    for (int k = 0; k < density * side * side; ++k) {
        const Vec2 p{random.uniform(0, side), random.uniform(0, side)};
        if (holds(p)) survey.points.push_back({p.x, p.y, 0});
    }
    return survey;
}

}  // namespace

TEST_CASE("the boundary of a full square cloud encloses its area within two percent whatever the density") {
    for (double density : {1.0, 8.7, 30.0, 200.0})
        for (std::uint64_t seed : {1u, 2u, 3u}) {
            CAPTURE(density);
            const Outline edge = data_boundary(cloud(density, 40, seed, [](Vec2) { return true; }));
            CHECK(edge.area_m2() == doctest::Approx(1600).epsilon(density > 5 ? 0.02 : 0.03));
            const double half_spacing = 0.5 / std::sqrt(density);
            CHECK(edge.box().x0 > -half_spacing);
            CHECK(edge.box().y1 < 40 + half_spacing);
            CHECK(edge.source() == OutlineSource::data_boundary);
            CHECK(edge.ring().size() < 1500);
        }
}

TEST_CASE("the boundary follows a bay, passes over a hole inside and leaves strays out") {
    // A disc of 12 m with a bay of 6 x 10 m, and a gap of 3 m in the middle that is no edge.
    const auto green = [](Vec2 p) {
        const Vec2 d = p - Vec2{15, 15};
        return norm(d) < 12 && !(p.x > 12 && p.x < 18 && p.y > 19);
    };
    Survey survey = cloud(60, 30, 5, [&](Vec2 p) { return green(p) && distance(p, {15, 10}) > 1.5; });
    for (int k = 0; k < 3; ++k) survey.points.push_back({200.0 + k, 300, 0});
    const Outline edge = data_boundary(survey);
    CHECK(edge.contains({15, 10}));
    CHECK_FALSE(edge.contains({15, 23}));
    CHECK_FALSE(edge.contains({200, 300}));
    double inside = 0, both = 0, either = 0;
    for (double x = 0.05; x < 30; x += 0.1)
        for (double y = 0.05; y < 30; y += 0.1) {
            const bool a = green({x, y}), b = edge.contains({x, y});
            inside += a;
            both += a && b;
            either += a || b;
        }
    CHECK(both / either > 0.97);
    CHECK(edge.area_m2() == doctest::Approx(inside * 0.01).epsilon(0.02));

    // Points marked as removed do not count.
    survey.removed.assign(survey.points.size(), kept);
    for (std::size_t k = 0; k < survey.points.size(); ++k)
        if (survey.points[k].x < 15) survey.removed[k] = above_turf;
    CHECK(data_boundary(survey).box().x0 > 14.8);
}

TEST_CASE("the boundary of a raster runs along the edges of its cells") {
    Survey survey;
    survey.grid_spacing_m = 0.5;
    for (int j = 0; j < 20; ++j)
        for (int i = 0; i < 30; ++i)
            if (!(i >= 20 && j >= 10)) survey.points.push_back({100.25 + 0.5 * i, 50.25 + 0.5 * j, 0});
    const Outline edge = data_boundary(survey);
    CHECK(edge.ring().size() == 6);
    CHECK(edge.area_m2() == doctest::Approx(15 * 10 - 5 * 5));
    CHECK(edge.box().x0 == doctest::Approx(100));
    CHECK(edge.box().y1 == doctest::Approx(60));

    // A ragged mask, with cells that touch by corners only, still gives a ring.
    Survey ragged;
    ragged.grid_spacing_m = 0.5;
    Random random(11);
    for (int j = 0; j < 40; ++j)
        for (int i = 0; i < 40; ++i)
            if (std::hypot(i - 20, j - 20) < 15 + 4 * random.uniform()) ragged.points.push_back({0.5 * i, 0.5 * j, 0});
    CHECK(data_boundary(ragged).area_m2() == doctest::Approx(0.25 * static_cast<double>(ragged.points.size())).epsilon(0.06));
}

TEST_CASE("too few points have no boundary") {
    Survey survey;
    survey.points = {{0, 0, 0}, {1, 1, 1}};
    CHECK_THROWS_AS(data_boundary(survey), Error);
}
