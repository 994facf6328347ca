#include "core/survey/outline.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "tests/support/support.h"

using namespace brae;

namespace {
Outline square() { return Outline({{0, 0}, {10, 0}, {10, 10}, {0, 10}}, OutlineSource::drawn); }
Outline horseshoe() {
    return Outline({{0, 0}, {10, 0}, {10, 10}, {7, 10}, {7, 3}, {3, 3}, {3, 10}, {0, 10}}, OutlineSource::drawn);
}
}  // namespace

TEST_CASE("an outline knows its area, centroid and distances whichever way round it was given") {
    for (bool turned : {false, true}) {
        std::vector<Vec2> ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}};
        if (turned) std::reverse(ring.begin(), ring.end());
        const Outline o(ring, OutlineSource::file);
        CHECK(o.area_m2() == doctest::Approx(100));
        CHECK(o.centroid().x == doctest::Approx(5));
        CHECK(o.signed_distance({5, 4}) == doctest::Approx(4));
        CHECK(o.signed_distance({5, -3}) == doctest::Approx(-3));
        CHECK(o.contains({0, 5}));
        CHECK_FALSE(o.contains({-1e-6, 5}));
    }
}

TEST_CASE("the settled cells never contradict the exact test") {
    const Outline o = horseshoe();
    Random random(7);
    for (int k = 0; k < 20000; ++k) {
        const Vec2 p{random.uniform(-1, 11), random.uniform(-1, 11)};
        const bool in = p.x >= 0 && p.x <= 10 && p.y >= 0 && p.y <= 10 && !(p.x > 3 && p.x < 7 && p.y > 3);
        REQUIRE(o.contains(p) == in);
    }
}

TEST_CASE("a segment across a bay leaves the green although both ends are inside") {
    CHECK(horseshoe().segment_leaves({1, 8}, {9, 8}));
    CHECK_FALSE(horseshoe().segment_leaves({1, 2}, {9, 2}));
    CHECK_FALSE(square().segment_leaves({1, 8}, {9, 8}));
    CHECK(square().segment_leaves({1, 8}, {11, 8}));
}

TEST_CASE("outlines that enclose nothing are refused with a sentence") {
    CHECK_THROWS_AS(Outline({{0, 0}, {1, 1}}, OutlineSource::file), Error);
    CHECK_THROWS_AS(Outline({{0, 0}, {4, 4}, {4, 0}, {0, 4}}, OutlineSource::file), Error);
    CHECK_THROWS_AS(Outline({{0, 0}, {0.1, 0}, {0, 0.1}}, OutlineSource::file), Error);
    CHECK_THROWS_AS(Outline({{0, 0}, {std::nan(""), 0}, {0, 9}}, OutlineSource::file), Error);
}

TEST_CASE("a gap without data is outside the green in every query") {
    const Outline o = square().with_gaps({{{4, 4}, {4, 6}, {6, 6}, {6, 4}}});
    CHECK(o.area_m2() == doctest::Approx(96));
    CHECK_FALSE(o.contains({5, 5}));
    CHECK(o.contains({3.9, 5}));
    CHECK(o.signed_distance({5, 5}) == doctest::Approx(-1));
    CHECK(o.signed_distance({3, 5}) == doctest::Approx(1));
    CHECK(o.segment_leaves({2, 5}, {8, 5}));
    CHECK_FALSE(o.segment_leaves({2, 8}, {8, 8}));
    CHECK(o.centroid().x == doctest::Approx(5));
}

TEST_CASE("what is cut out of the green stays when gaps of the data come and go") {
    const std::vector<Vec2> bunker{{4, 4}, {4, 6}, {6, 6}, {6, 4}}, hidden{{1, 1}, {2, 1}, {2, 2}, {1, 2}};
    const Outline cut = square().with_cut_outs({bunker});
    const Outline both = cut.with_gaps({hidden});
    CHECK(both.area_m2() == doctest::Approx(95));
    REQUIRE(both.gaps().size() == 2);
    CHECK(both.cut_outs().size() == 1);
    CHECK(both.cut_outs()[0] == bunker);
    CHECK(both.data_gaps()[0] == hidden);
    CHECK_FALSE(both.contains({5, 5}));
    CHECK_FALSE(both.contains({1.5, 1.5}));
    const Outline again = both.with_gaps({});
    CHECK(again.area_m2() == doctest::Approx(96));
    CHECK_FALSE(again.contains({5, 5}));
    CHECK(again.contains({1.5, 1.5}));
    CHECK(both.with_cut_outs({}).contains({5, 5}));

    // Another edge keeps what lies wholly within it.
    CHECK(Outline({{3, 3}, {9, 3}, {9, 9}, {3, 9}}, OutlineSource::drawn).with_cut_outs_of(both).gaps().size() == 1);
    CHECK(Outline({{5, 3}, {9, 3}, {9, 9}, {5, 9}}, OutlineSource::drawn).with_cut_outs_of(both).gaps().empty());
    CHECK(Outline({{7, 3}, {9, 3}, {9, 9}, {7, 9}}, OutlineSource::drawn).with_cut_outs_of(both).gaps().empty());
}

TEST_CASE("an outline with a digit too many is refused at once, a long thin one is settled") {
    CHECK_THROWS_WITH_AS(Outline({{0, 0}, {38, 2}, {36, 28}, {0, 6.6e12}}, OutlineSource::file), doctest::Contains("spans"), Error);
    const Outline thin({{0, 0}, {0.5, 0}, {0.5, 90000}, {0, 90000}}, OutlineSource::file);
    CHECK(thin.contains({0.25, 45000}));
    CHECK_FALSE(thin.contains({0.6, 45000}));
}
