#include "core/base/error.h"
#include "core/base/units.h"
#include "core/plan/line_of_play.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"
#include "tests/support/refusal.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

Outline rectangle(double width, double depth) { return Outline({{0, 0}, {width, 0}, {width, depth}, {0, depth}}, OutlineSource::drawn); }

}  // namespace

TEST_CASE("on a rectangle played from the south, paces on count from the south edge and the side is the nearer one") {
    // 20 by 30 paces; the place is 12 on and 4 from the left by construction.
    const Outline green = rectangle(20 * kPace, 30 * kPace);
    const LineOfPlay line = line_of_play_towards(0);
    const auto m = place_by_paces(green, line, {4 * kPace, 12 * kPace});
    REQUIRE(m);
    CHECK(m->on_m == doctest::Approx(12 * kPace));
    CHECK(m->behind_m == doctest::Approx(18 * kPace));
    CHECK(m->left_m == doctest::Approx(4 * kPace));
    CHECK(m->right_m == doctest::Approx(16 * kPace));
    CHECK(m->first_edge_m == 0);
    CHECK(paces_text(*m) == "12 on, 4 left");
    CHECK(third_text(*m) == "middle left");
    // From the other end the same place is 18 on, and what was left is right.
    CHECK(paces_text(*place_by_paces(green, line_of_play_towards(180), {4 * kPace, 12 * kPace})) == "18 on, 4 right");
    // From the east: 16 on, 12 from the left (the south edge).
    CHECK(paces_text(*place_by_paces(green, line_of_play_towards(270), {4 * kPace, 12 * kPace})) == "16 on, 12 left");
    CHECK(paces_text(*place_by_paces(green, line, {4.4 * kPace, 12 * kPace}), true) == "12 on, 4.5 left");
}

TEST_CASE("paces on a disc agree with the circle's chords for any line of play") {
    const double radius = 12;
    const Vec2 centre{50, 40};
    const Outline green = ellipse(centre, radius, radius, 1440);
    for (const double bearing : {0.0, 37.0, 143.5, 222.0, 301.0}) {
        CAPTURE(bearing);
        const LineOfPlay line = line_of_play_towards(bearing);
        for (const Vec2 s : {Vec2{3, -4}, Vec2{-6, 2}, Vec2{0.5, 7}}) {
            const Vec2 p = centre + s.x * right_of(line.direction) + s.y * line.direction;
            const auto m = place_by_paces(green, line, p);
            REQUIRE(m);
            CHECK(m->on_m == doctest::Approx(s.y + std::sqrt(radius * radius - s.x * s.x)).epsilon(1e-4));
            CHECK(m->left_m == doctest::Approx(s.x + std::sqrt(radius * radius - s.y * s.y)).epsilon(1e-4));
            CHECK(m->side() == (s.x < 0 ? GreenSide::left : GreenSide::right));
        }
    }
}

TEST_CASE("a place off the green has no paces, and one on its edge is on it") {
    const Outline green = rectangle(10, 20);
    const LineOfPlay line = line_of_play_towards(0);
    CHECK_FALSE(place_by_paces(green, line, {-0.1, 5}));
    for (const Vec2 p : {Vec2{0, 0}, Vec2{10, 20}, Vec2{5, 0}, Vec2{0, 7}}) {
        const auto m = place_by_paces(green, line, p);
        REQUIRE(m);
        CHECK(m->on_m == doctest::Approx(p.y));
        CHECK(m->left_m == doctest::Approx(p.x));
    }
    // A gap without data in front of a place is green all the same.
    const Outline gapped = green.with_gaps({{{4, 2}, {6, 2}, {6, 4}, {4, 4}}});
    CHECK(place_by_paces(gapped, line, {5, 10})->on_m == doctest::Approx(10));
    CHECK(place_by_paces(gapped, line, {5, 3})->on_m == doctest::Approx(3));
}

TEST_CASE("behind a bay the count begins at the edge next before the hole, and what lies in front is told") {
    // A U open to the right: a place in the upper arm has green, a bay of 6 m and green again before it.
    const Outline green({{0, 0}, {20, 0}, {20, 6}, {8, 6}, {8, 12}, {20, 12}, {20, 20}, {0, 20}}, OutlineSource::drawn);
    const auto m = place_by_paces(green, line_of_play_towards(0), {15, 16});
    REQUIRE(m);
    CHECK(m->on_m == doctest::Approx(4));
    CHECK(m->first_edge_m == doctest::Approx(12));
    CHECK(place_by_paces(green, line_of_play_towards(0), {4, 16})->first_edge_m == 0);
}

TEST_CASE("thirds split the green's depth and width along the line of play") {
    const Outline green = rectangle(12, 18);
    const PlayThirds north(green, line_of_play_towards(0)), west(green, line_of_play_towards(270));
    CHECK(north.depth({6, 5.9}) == 0);
    CHECK(north.depth({6, 6.1}) == 1);
    CHECK(north.depth({6, 12.1}) == 2);
    CHECK(north.across({3.9, 9}) == 0);
    CHECK(north.across({4.1, 9}) == 1);
    CHECK(north.across({8.1, 9}) == 2);
    CHECK(west.depth({11, 9}) == 0);
    CHECK(west.across({6, 1}) == 0);
}

TEST_CASE("the place of counted paces is the one they were counted for, all over greens of many shapes") {
    const std::vector<Outline> greens{ellipse({14, 12}, 13, 11), ellipse({14, 12}, 8, 16),
                                      Outline({{0, 0}, {20, 0}, {20, 6}, {8, 6}, {8, 12}, {20, 12}, {20, 20}, {0, 20}}, OutlineSource::drawn),
                                      Outline({{0, 0}, {9, -2}, {16, 3}, {14, 11}, {17, 20}, {8, 24}, {1, 17}, {4, 9}}, OutlineSource::drawn)};
    int asked = 0, alone = 0;
    for (const Outline& green : greens)
        for (const double bearing : {0.0, 25.0, 170.0, 288.0}) {
            const LineOfPlay line = line_of_play_towards(bearing);
            for (double y = green.box().y0 + 1; y < green.box().y1; y += 3)
                for (double x = green.box().x0 + 1; x < green.box().x1; x += 3) {
                    const Vec2 p{x + 0.137, y + 0.071};
                    const auto m = place_by_paces(green, line, p);
                    if (!m || m->side_m() < 0.3 || m->on_m < 0.3) continue;
                    CAPTURE(bearing);
                    CAPTURE(p.x);
                    CAPTURE(p.y);
                    ++asked;
                    const auto all = places_at_paces(green, line, m->on_m, m->side(), m->side_m());
                    double least = 1e9;
                    for (const CountedPlace& c : all) least = std::min(least, distance(c.p, p));
                    // Where the two edges run as one straight line, a whole stretch fits and one of it is told.
                    const bool loose = std::any_of(all.begin(), all.end(), [](const CountedPlace& c) { return c.se_m > 1.5; });
                    CHECK((least < 1e-3 || loose));
                    alone += all.size() == 1;
                    // Whatever is told does fit.
                    for (const CountedPlace& c : all) {
                        const auto back = place_by_paces(green, line, c.p);
                        REQUIRE(back);
                        CHECK(back->on_m == doctest::Approx(m->on_m).epsilon(1e-3));
                        CHECK((m->side() == GreenSide::left ? back->left_m : back->right_m) == doctest::Approx(m->side_m()).epsilon(1e-3));
                        CHECK(c.nearer == (back->side() == m->side()));
                    }
                }
        }
    CHECK(asked > 300);
    CHECK(alone > asked / 2);
}

TEST_CASE("paces that no place has are refused with how deep or how wide the green is") {
    const Outline green = rectangle(12 * kPace, 20 * kPace);
    const LineOfPlay line = line_of_play_towards(0);
    CHECK(distance(place_at_paces(green, line, 5 * kPace, GreenSide::right, 3 * kPace).p, {9 * kPace, 5 * kPace}) < 1e-3);
    CHECK(holds(refusal([&] { place_at_paces(green, line, 25 * kPace, GreenSide::left, 3 * kPace); }), "at most 20.0 paces deep"));
    CHECK(holds(refusal([&] { place_at_paces(green, line, 5 * kPace, GreenSide::left, 14 * kPace); }), "reaches 12.0 paces from its left edge"));
    // Counted from the farther side it is still a place, and known as such.
    CHECK_FALSE(place_at_paces(green, line, 5 * kPace, GreenSide::left, 9 * kPace).nearer);
}

TEST_CASE("paces that fit two places name both, and paces along one straight edge are refused") {
    // A boomerang: two arms, each with a place 6 m on and 2 m from its left edge.
    const Outline arms({{0, 0}, {6, 0}, {6, 14}, {12, 14}, {12, 0}, {18, 0}, {18, 20}, {0, 20}}, OutlineSource::drawn);
    const std::string two = refusal([&] { place_at_paces(arms, line_of_play_towards(0), 6, GreenSide::left, 2); });
    CHECK(holds(two, "2 places fit, 2.00,6.00"));
    CHECK(holds(two, "14.00,6.00"));
    // A diamond with its corner to the player: every place of a line parallel to its front left edge counts alike.
    const Outline diamond({{0, 0}, {15, 15}, {0, 30}, {-15, 15}}, OutlineSource::drawn);
    CHECK(holds(refusal([&] { place_at_paces(diamond, line_of_play_towards(0), 5, GreenSide::left, 5); }), "one straight edge"));
    // On a disc the corner of front and side is loose too, less far on; well on and near the side it is not.
    const auto well = places_at_paces(ellipse({0, 0}, 12, 12, 720), line_of_play_towards(0), 12 * kPace, GreenSide::left, 4 * kPace);
    REQUIRE(well.size() >= 1);
    CHECK(well.front().se_m < 0.5);
}

TEST_CASE("a line of play is a bearing, or an approach whose last leg gives its direction") {
    CHECK(norm(line_of_play_towards(90).direction - Vec2{1, 0}) < 1e-12);
    const LineOfPlay bent = line_of_play_along({{0, -60}, {5, -20}, {5, -2}});
    CHECK(norm(bent.direction - Vec2{0, 1}) < 1e-12);
    CHECK(bent.approach.size() == 3);
    CHECK(holds(refusal([] { line_of_play_along({{0, 0}}); }), "has 1 point; two or more"));
    CHECK(holds(refusal([] { line_of_play_along({{0, 0}, {0, 0.2}}); }), "0.20 m long"));
    CHECK(holds(refusal([] { line_of_play_towards(std::nan("")); }), "no number"));
}
