#include "core/terrain/new_outline.h"

#include "core/base/error.h"
#include "core/survey/ring.h"
#include "core/terrain/build_terrain.h"
#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

#include <algorithm>

using namespace brae;
using namespace brae::test;

namespace {

using Kind = OutlineFault::Kind;

// A surveyed rectangle of 16 x 12 m, the edge its boundary, with the standard errors that build_terrain gives.
const TerrainModel& surveyed() {
    static const TerrainModel model = [] {
        Survey survey = cloud(Outline({{0, 0}, {16, 0}, {16, 12}, {0, 12}}, OutlineSource::drawn), rolling_green, 12, 0.002, 0, 1, 4);
        survey.outline.reset();
        return build(survey, 0.25);
    }();
    return model;
}

std::size_t cells(const TerrainModel& m) { return static_cast<std::size_t>(std::count(m.grid.mask.begin(), m.grid.mask.end(), 1)); }

std::string refusal(const std::vector<Vec2>& ring) {
    try {
        with_outline(surveyed(), ring);
    } catch (const Error& e) {
        return e.what();
    }
    return "";
}
bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

const std::vector<Vec2> kInner{{3, 2}, {13, 3}, {12, 10}, {4, 9.5}};

}  // namespace

TEST_CASE("a drawn outline keeps the surface bit for bit and shows exactly the cells inside it") {
    const TerrainModel m = with_outline(surveyed(), kInner);
    CHECK(m.surface == surveyed().surface);
    CHECK(m.outline.source() == OutlineSource::drawn);
    // Shoelace by hand: 0.5 |3*3-13*2 + 13*10-12*3 + 12*9.5-4*10 + 4*2-3*9.5|.
    CHECK(m.outline.area_m2() == doctest::Approx(0.5 * std::abs(9 - 26 + 130 - 36 + 114 - 40 + 8 - 28.5)));
    const Raster& h = m.grid.height;
    std::size_t wrong = 0;
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i) {
            wrong += m.grid.has(i, j) != (side_of_ring(kInner, h.centre(i, j)) >= 0);
            if (m.grid.has(i, j)) wrong += h.at(i, j) != m.surface->height(h.centre(i, j).x, h.centre(i, j).y);
        }
    CHECK(wrong == 0);
    CHECK(m.outline.gaps().empty());
    CHECK(m.grid.height_se.values == surveyed().grid.height_se.values);
    // Slope figures are of the new outline alone.
    CHECK(slope_summary(m).median != slope_summary(surveyed()).median);
    const double share = static_cast<double>(cells(m)) / static_cast<double>(cells(surveyed()));
    CHECK(static_cast<double>(m.points_used) == doctest::Approx(share * static_cast<double>(surveyed().points_used)).epsilon(0.001));
    CHECK(std::count(surveyed().warnings.begin(), surveyed().warnings.end(), kNoOutlineWarning) == 1);
    CHECK(std::count(m.warnings.begin(), m.warnings.end(), kNoOutlineWarning) == 0);
}

TEST_CASE("either sense, a repeated corner and a closed ring mean the same outline") {
    std::vector<Vec2> turned(kInner.rbegin(), kInner.rend());
    turned.insert(turned.begin(), turned.front());
    turned.push_back(turned.front());
    CHECK(with_outline(surveyed(), turned).grid.mask == with_outline(surveyed(), kInner).grid.mask);
}

TEST_CASE("the present edge fits, also where the points of its sides are on it by rounding only and nothing is known beyond") {
    TerrainModel m = build(cloud(ellipse(8, 6, 7.3, 5.1), rolling_green, 30, 0.002, 0, 1, 6), 0.25);
    std::fill(m.grid.height_se.values.begin(), m.grid.height_se.values.end(), 0.0);
    CHECK(!outline_fault(m, m.outline.ring()));
    CHECK(with_outline(m, m.outline.ring()).grid.mask == m.grid.mask);
}

TEST_CASE("ground that a smaller outline left out can be taken in again, and the old edge fits") {
    const TerrainModel small = with_outline(surveyed(), kInner);
    const TerrainModel larger = with_outline(small, {{1, 1}, {15, 1}, {15, 11}, {1, 11}});
    CHECK(larger.grid.mask == with_outline(surveyed(), {{1, 1}, {15, 1}, {15, 11}, {1, 11}}).grid.mask);
    CHECK(larger.outline.gaps().empty());
    // Again and again smaller and larger does not creep over the edge of what was surveyed.
    TerrainModel m = surveyed();
    for (int k = 0; k < 5; ++k) m = with_outline(with_outline(m, kInner), {{0.5, 0.5}, {15.5, 0.5}, {15.5, 11.5}, {0.5, 11.5}});
    CHECK(m.grid.height_se.values == surveyed().grid.height_se.values);
}

TEST_CASE("an outline beyond the surveyed ground is refused with the place and the distance") {
    // The farthest corner is east of the ground, whose edge is the boundary of the data.
    const double east = surveyed().outline.box().x1;
    CHECK((east > 15.5 && east < 17));
    const std::vector<Vec2> ring{{3, 2}, {18, 6}, {4, 9.5}};
    const auto fault = outline_fault(surveyed(), ring);
    REQUIRE(fault);
    CHECK(fault->kind == Kind::beyond);
    CHECK(fault->amount == doctest::Approx(18 - east).epsilon(0.15));
    CHECK(distance(*fault->where, {18, 6}) < 0.2);
    CHECK(has(refusal(ring), "leaves the surveyed ground by"));
    CHECK(has(to_text(*fault, true), "ft at (1"));
    // Far away in all directions, and at once.
    CHECK(outline_fault(surveyed(), {{-4000, -3000}, {-3960, -3000}, {-3960, -2960}})->amount > 4000);
}

TEST_CASE("a ring that crosses itself is refused with the crossing, the place and both sides") {
    // A bow tie whose diagonals cross in its middle.
    const std::vector<Vec2> bow{{2, 2}, {12, 10}, {12, 2}, {2, 10}};
    const auto fault = outline_fault(surveyed(), bow);
    REQUIRE(fault);
    CHECK(fault->kind == Kind::crossing);
    CHECK(distance(*fault->where, {7, 6}) < 1e-9);
    CHECK(has(refusal(bow), "crosses itself at (7.00, 6.00), where the sides after its corners 1 and 3 meet"));
}

TEST_CASE("rings without an inside, of numbers that are none, too small or too large are refused in one sentence each") {
    CHECK(has(refusal({}), "0 distinct corners"));
    CHECK(has(refusal({{3, 3}, {5, 5}}), "2 distinct corners"));
    CHECK(has(refusal({{3, 3}, {5, 5}, {5, 5}, {3, 3}}), "2 distinct corners"));
    CHECK(has(refusal({{3, 3}, {5, std::nan("")}, {6, 6}}), "not a number"));
    CHECK(has(refusal({{3, 3}, {5, 3}, {5, 5}, {3, 5}}), "encloses 4.0 m\u00b2; between 20 and 10000 is wanted"));
    CHECK(has(to_text(*outline_fault(surveyed(), {{3, 3}, {5, 3}, {5, 5}, {3, 5}}), true), "encloses 43.1 ft\u00b2; between 215"));
    CHECK(has(refusal({{0, 0}, {200, 0}, {200, 200}, {0, 200}}), "encloses 40000 m"));
    // Three corners on a line: no area, or sides that lie on one another.
    CHECK(!refusal({{3, 3}, {5, 3}, {9, 3}}).empty());
}

TEST_CASE("what has no data inside a drawn outline becomes a gap") {
    // Points all over but for a hole of 4 x 4 m.
    Survey survey = cloud(Outline({{0, 0}, {24, 0}, {24, 20}, {0, 20}}, OutlineSource::drawn), rolling_green, 12, 0.002, 0, 1, 5);
    survey.outline = Outline({{0, 0}, {24, 0}, {24, 20}, {0, 20}}, OutlineSource::file);
    std::erase_if(survey.points, [](const Vec3& p) { return std::abs(p.x - 12) < 5 && std::abs(p.y - 10) < 5; });
    const TerrainModel whole = build(survey, 0.5);
    REQUIRE(whole.outline.gaps().size() == 1);
    const TerrainModel m = with_outline(whole, {{2, 2}, {22, 2}, {22, 18}, {2, 18}});
    REQUIRE(m.outline.gaps().size() == 1);
    CHECK(m.outline.area_m2() == doctest::Approx(320 - std::abs(signed_area(m.outline.gaps()[0]))));
    CHECK(!m.outline.contains({12, 10}));
}

TEST_CASE("a bunker cut out of the edge is no green beside a gap of the data, nor under another edge") {
    const std::vector<Vec2> bunker{{16, 4}, {19, 4}, {19, 7}, {16, 7}};
    Survey survey = cloud(Outline({{0, 0}, {24, 0}, {24, 20}, {0, 20}}, OutlineSource::drawn), rolling_green, 12, 0.002, 0, 1, 5);
    survey.outline = Outline({{0, 0}, {24, 0}, {24, 20}, {0, 20}}, OutlineSource::file).with_cut_outs({bunker});
    std::erase_if(survey.points, [](const Vec3& p) { return std::abs(p.x - 8) < 5 && std::abs(p.y - 10) < 5; });
    const TerrainModel whole = build(survey, 0.5);
    CHECK(whole.outline.data_gaps().size() == 1);
    REQUIRE(whole.outline.cut_outs().size() == 1);
    CHECK_FALSE(whole.outline.contains({17, 5}));
    CHECK_FALSE(whole.outline.contains({8, 10}));
    const TerrainModel m = with_outline(whole, {{2, 2}, {22, 2}, {22, 18}, {2, 18}});
    CHECK(m.outline.data_gaps().size() == 1);
    CHECK(m.outline.cut_outs().size() == 1);
    CHECK_FALSE(m.outline.contains({17, 5}));
}

TEST_CASE("past the surface a ring may go as far as the survey's data reach, and then wants a new surface; beyond them it is refused") {
    TerrainModel m = with_outline(surveyed(), kInner);
    // Data 2 m farther to the east and north than the surface.
    m.reach = {{0, 0}, {18, 0}, {18, 14}, {0, 14}};
    const std::vector<Vec2> past{{3, 2}, {17.5, 6}, {12, 13.5}, {4, 9.5}}, beyond{{3, 2}, {19, 6}, {12, 13.5}, {4, 9.5}};
    CHECK(outline_fault(m, past)->kind == Kind::beyond);
    CHECK(!outline_fault(m, past, OutlineGround::data));
    CHECK(needs_new_surface(m, past));
    CHECK_THROWS_AS(with_outline(m, past), Error);

    // The distance is that from the data, not from the surface.
    const auto fault = outline_fault(m, beyond, OutlineGround::data);
    REQUIRE(fault);
    CHECK(fault->kind == Kind::beyond);
    CHECK(fault->amount == doctest::Approx(1).epsilon(0.1));
    CHECK(distance(*fault->where, {19, 6}) < 0.2);
    CHECK(!needs_new_surface(m, beyond));

    // What the surface holds needs none; what is wrong for another reason is no better for data.
    CHECK(!needs_new_surface(m, kInner));
    CHECK(!needs_new_surface(m, {{2, 2}, {12, 10}, {12, 2}, {2, 10}}));
    // Without a known reach the surface is the limit.
    m.reach.clear();
    CHECK(outline_fault(m, past, OutlineGround::data));
    CHECK(!needs_new_surface(m, past));
}
