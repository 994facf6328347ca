#include "core/terrain/data_reach.h"

#include "core/base/error.h"
#include "core/survey/ring.h"
#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

// Points all over 30 x 20 m; a green in the middle of them.
Survey wide(double density = 20) {
    Survey s = cloud(Outline({{0, 0}, {30, 0}, {30, 20}, {0, 20}}, OutlineSource::drawn), rolling_green, density, 0.002, 0, 1, 7, 0);
    s.outline.reset();
    return s;
}
const Outline kGreen = ellipse(15, 10, 7, 5);

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("the reach is the boundary of all points round the edge, clutter and all, and the survey stays as it was") {
    Survey s = wide();
    Progress quiet;
    s.removed.assign(s.points.size(), kept);
    for (std::size_t k = 0; k < s.points.size(); ++k)
        if (!kGreen.contains({s.points[k].x, s.points[k].y})) s.removed[k] = outside_clip;
    const std::vector<std::uint8_t> before = s.removed;
    const std::vector<Vec2> ring = data_reach(s, kGreen.box(), quiet);
    CHECK(s.removed == before);
    // Points 0.22 m apart: the boundary lies a quarter of that beyond them, within the spread of random points.
    CHECK(std::abs(signed_area(ring)) == doctest::Approx(600).epsilon(0.02));
    for (const Vec2 p : {Vec2{0.6, 0.6}, {29.4, 0.6}, {29.4, 19.4}, {0.6, 19.4}}) CHECK(side_of_ring(ring, p) > 0);
    for (const Vec2 p : {Vec2{-0.4, 10}, {30.4, 10}, {15, -0.4}, {15, 20.4}}) CHECK(side_of_ring(ring, p) < 0);
}

TEST_CASE("points far from the green, and points that the file withholds, are no reach") {
    Survey s = wide();
    Progress quiet;
    s.points.push_back({20000, 20000, 5});
    s.points.push_back({-300, 0, 5});
    s.classes.assign(s.points.size(), 2);
    for (std::size_t k = 0; k < s.points.size(); ++k)
        if (s.points[k].x > 24) s.classes[k] |= kWithheld;
    const std::vector<Vec2> ring = data_reach(s, kGreen.box(), quiet);
    CHECK(std::abs(signed_area(ring)) == doctest::Approx(480).epsilon(0.02));
    CHECK(side_of_ring(ring, {24.6, 10}) < 0);
    CHECK(s.removed.empty());
}

TEST_CASE("points that make no ground have no reach, and a cancel ends the work with the survey as it was") {
    Survey s;
    s.points = {{1, 1, 0}, {2, 2, 0}};
    Progress quiet;
    CHECK(data_reach(s, kGreen.box(), quiet).empty());
    Survey all = wide();
    Progress stopped;
    stopped.cancel();
    CHECK_THROWS_AS(data_reach(all, kGreen.box(), stopped), Error);
    CHECK(all.removed.empty());
}

TEST_CASE("the share of an edge on new data is that of its area") {
    const std::vector<Vec2> half{{-10, -10}, {15, -10}, {15, 40}, {-10, 40}};
    CHECK(share_within(kGreen, half) == doctest::Approx(0.5).epsilon(0.03));
    CHECK(share_within(kGreen, {{-100, -100}, {100, -100}, {100, 100}, {-100, 100}}) == 1);
    CHECK(share_within(kGreen, {}) == 0);
    CHECK(share_within(Outline(), half) == 0);
}

TEST_CASE("a survey without an outline keeps the edge that the green had, and says so; one that hardly meets it does not") {
    Progress quiet;
    std::vector<Vec2> reach;
    Survey s = wide();
    keep_former_edge(s, Outline(kGreen.ring(), OutlineSource::file), reach, quiet);
    REQUIRE(s.outline);
    CHECK(s.outline->ring() == kGreen.ring());
    CHECK(s.outline->source() == OutlineSource::file);
    REQUIRE(s.warnings.size() == 1);
    CHECK(has(s.warnings[0], "the edge that the green had, from a file, stays"));
    CHECK(reach.size() >= 4);

    // Two thirds of it on data: it stays, with the share; what has no data becomes a gap later.
    s = wide();
    std::erase_if(s.points, [](const Vec3& p) { return p.x > 17.3; });
    keep_former_edge(s, Outline(kGreen.ring(), OutlineSource::drawn), reach, quiet);
    REQUIRE(s.outline);
    CHECK(has(s.warnings[0], "% lies on the new data"));

    // A third of it: left.
    s = wide();
    std::erase_if(s.points, [](const Vec3& p) { return p.x > 12.5; });
    keep_former_edge(s, Outline(kGreen.ring(), OutlineSource::point_codes), reach, quiet);
    CHECK(!s.outline);
    CHECK(reach.empty());
    CHECK(has(s.warnings[0], "that edge was left"));

    // An outline of its own rules, and a boundary of old data is no edge to keep.
    s = wide();
    s.outline = ellipse(14, 10, 6, 4);
    keep_former_edge(s, kGreen, reach, quiet);
    CHECK(s.outline->ring() == ellipse(14, 10, 6, 4).ring());
    CHECK(s.warnings.empty());
    CHECK(reach.size() >= 4);
    s.outline.reset();
    keep_former_edge(s, Outline(kGreen.ring(), OutlineSource::data_boundary), reach, quiet);
    CHECK(!s.outline);
    CHECK(s.warnings.empty());
}
