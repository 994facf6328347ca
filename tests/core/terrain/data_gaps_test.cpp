#include "core/terrain/data_gaps.h"

#include "tests/support/support.h"

using namespace brae;

namespace {

// A 20 x 20 m model of 0.5 m cells with data everywhere but where `missing` says.
template <typename F>
ElevationModel model(F missing) {
    ElevationModel m;
    m.height = Raster(40, 40, 0, 0, 0.5);
    m.mask.assign(1600, 1);
    for (int j = 0; j < 40; ++j)
        for (int i = 0; i < 40; ++i) {
            const Vec2 c = m.height.centre(i, j);
            if (missing(c)) m.mask[m.height.index(i, j)] = 0;
        }
    return m;
}

Outline whole() { return Outline({{0, 0}, {20, 0}, {20, 20}, {0, 20}}, OutlineSource::drawn); }

}  // namespace

TEST_CASE("full data has no gaps") {
    CHECK(gap_rings(model([](Vec2) { return false; }), whole()).empty());
}

TEST_CASE("a patch without data becomes a ring of its cells' area, and the outline keeps out of it") {
    const auto rings = gap_rings(model([](Vec2 c) { return distance(c, {10, 10}) < 3; }), whole());
    REQUIRE(rings.size() == 1);
    const Outline o = whole().with_gaps(rings);
    CHECK(o.area_m2() == doctest::Approx(400 - 9 * 3.14159).epsilon(0.01));
    CHECK_FALSE(o.contains({10, 10}));
    CHECK(o.contains({10, 14}));
    CHECK(o.segment_leaves({5, 10}, {15, 10}));
}

TEST_CASE("two patches that touch at a corner stay two rings, and an island of data is part of its patch") {
    const auto rings = gap_rings(model([](Vec2 c) { return (c.x > 5 && c.x < 7 && c.y > 5 && c.y < 7) || (c.x > 7 && c.x < 9 && c.y > 7 && c.y < 9); }), whole());
    CHECK(rings.size() == 2);
    const auto ringed = gap_rings(model([](Vec2 c) { return distance(c, {10, 10}) < 4 && distance(c, {10, 10}) > 1; }), whole());
    REQUIRE(ringed.size() == 1);
    CHECK_FALSE(whole().with_gaps(ringed).contains({10, 10}));
}

TEST_CASE("a gap that reaches over the edge does not make the outside green") {
    const Outline o = Outline({{2, 2}, {18, 2}, {18, 18}, {2, 18}}, OutlineSource::drawn)
                          .with_gaps({{{0, 8}, {6, 8}, {6, 12}, {0, 12}}});
    CHECK_FALSE(o.contains({1, 10}));
    CHECK_FALSE(o.contains({4, 10}));
    CHECK(o.contains({8, 10}));
    CHECK(o.signed_distance({8, 10}) == doctest::Approx(2));
}
