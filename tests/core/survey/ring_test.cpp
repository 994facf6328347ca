#include "core/survey/ring.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/base/random.h"
#include "tests/support/support.h"

#include <algorithm>
#include <cmath>
#include <string>

using namespace brae;

namespace {

std::vector<Vec2> circle(std::size_t corners, double radius) {
    std::vector<Vec2> ring;
    for (std::size_t k = 0; k < corners; ++k) {
        const double a = 2 * kPi * static_cast<double>(k) / static_cast<double>(corners);
        ring.push_back({radius * std::cos(a), radius * std::sin(a)});
    }
    return ring;
}

// Every pair of sides, as the definition has it.
std::optional<std::pair<std::size_t, std::size_t>> by_all_pairs(const std::vector<Vec2>& ring) {
    const std::size_t n = ring.size();
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t k = i + 2; k < n; ++k)
            if (!(i == 0 && k == n - 1) && segments_meet(ring[i], ring[i + 1], ring[k], ring[(k + 1) % n])) return std::pair{i, k};
    return std::nullopt;
}

}  // namespace

TEST_CASE("the sides that cross first are those that a search of all pairs finds") {
    Random random(31);
    int crossing = 0, simple = 0;
    for (int t = 0; t < 400; ++t) {
        // Circles whose radius is shaken, some corners swapped: about half of them cross.
        std::vector<Vec2> ring = circle(3 + static_cast<std::size_t>(random.uniform(0, 60)), 10);
        for (Vec2& p : ring) p = random.uniform(0.7, 1.3) * p;
        if (random.uniform(0, 1) < 0.5) {
            const auto pick = [&] { return static_cast<std::size_t>(random.uniform(0, static_cast<double>(ring.size()))); };
            std::swap(ring[pick()], ring[pick()]);
        }
        const auto found = first_crossing(ring);
        CHECK(found == by_all_pairs(ring));
        ++(found ? crossing : simple);
    }
    CHECK(crossing > 100);
    CHECK(simple > 100);
}

TEST_CASE("an outline of 20000 corners is judged without comparing every pair of sides, and one slip in it is found") {
    // All pairs would be 2e8 here and 2.9e10 in the larger ring, which no run of the tests would wait for.
    std::vector<Vec2> ring = circle(20000, 15);
    CHECK(Outline(ring, OutlineSource::file).area_m2() == doctest::Approx(kPi * 225).epsilon(1e-6));
    CHECK_FALSE(first_crossing(circle(240000, 15)).has_value());
    std::swap(ring[15000], ring[15001]);
    const auto found = first_crossing(ring);
    REQUIRE(found);
    CHECK(*found == std::pair<std::size_t, std::size_t>{14999, 15001});
    std::string said;
    try {
        Outline(ring, OutlineSource::file);
    } catch (const Error& e) {
        said = e.what();
    }
    CHECK(said == "the outline crosses itself between its points 15000 and 15002");
}

TEST_CASE("a ring that touches itself at a corner or runs back along itself is not simple") {
    CHECK(first_crossing({{0, 0}, {4, 0}, {4, 4}, {2, 0}, {0, 4}}) == std::optional(std::pair<std::size_t, std::size_t>{0, 2}));
    CHECK(first_crossing({{0, 0}, {4, 0}, {4, 4}, {4, 1}, {4, 0}, {0, 4}}).has_value());
    CHECK_FALSE(first_crossing({{0, 0}, {4, 0}, {0, 4}}).has_value());
}

TEST_CASE("two rings meet where sides cross or touch, and not where one lies within the other") {
    const std::vector<Vec2> square{{0, 0}, {4, 0}, {4, 4}, {0, 4}};
    const auto moved = [&](Vec2 by, double scale) {
        std::vector<Vec2> out;
        for (Vec2 p : square) out.push_back(scale * p + by);
        return out;
    };
    CHECK_FALSE(first_meeting(square, moved({1, 1}, 0.5)).has_value());
    CHECK_FALSE(first_meeting(square, moved({5, 0}, 1)).has_value());
    CHECK(first_meeting(square, moved({2, 1}, 1)) == std::optional(std::pair<std::size_t, std::size_t>{1, 0}));
    CHECK(first_meeting(square, moved({4, 4}, 1)) == std::optional(std::pair<std::size_t, std::size_t>{1, 0}));   // one corner
    CHECK(first_meeting(square, square).has_value());
    CHECK_FALSE(first_meeting(square, {}).has_value());
    // Of many sides, as a search of all pairs finds.
    Random random(32);
    for (int t = 0; t < 100; ++t) {
        std::vector<Vec2> a = circle(40, 10), b = circle(30, 10);
        for (Vec2& p : a) p = random.uniform(0.9, 1) * p;
        for (Vec2& p : b) p = random.uniform(0.5, 0.93) * p;
        std::optional<std::pair<std::size_t, std::size_t>> by_all;
        for (std::size_t i = 0; i < a.size() && !by_all; ++i)
            for (std::size_t k = 0; k < b.size() && !by_all; ++k)
                if (segments_meet(a[i], a[(i + 1) % a.size()], b[k], b[(k + 1) % b.size()])) by_all = std::pair{i, k};
        CHECK(first_meeting(a, b) == by_all);
    }
}

// Closed forms: a triangle's centroid is the mean of its corners, an L of three unit squares has its own at 5/6.
TEST_CASE("a centroid needs no outline: small rings and lines have one too") {
    const auto near = [](Vec2 a, Vec2 b) { return distance(a, b) < 1e-12; };
    CHECK(near(ring_centroid({{1, 1}, {1.3, 1}, {1, 1.6}}), {1.1, 1.2}));
    CHECK(near(ring_centroid({{0, 0}, {0, 2}, {1, 2}, {1, 1}, {2, 1}, {2, 0}}), {5.0 / 6, 5.0 / 6}));
    CHECK(near(ring_centroid({{0, 0}, {2, 2}}), {1, 1}));
    CHECK(signed_area({{0, 0}, {0, 2}, {1, 2}, {1, 1}, {2, 1}, {2, 0}}) == doctest::Approx(-3));
    CHECK(side_of_ring({{0, 0}, {2, 0}, {2, 2}, {0, 2}}, {2, 1}) == 0);
}

TEST_CASE("boxes that overlap or touch have no gap between them") {
    CHECK(gap_between({0, 0, 1, 1}, {1, 1, 2, 2}) == 0);
    CHECK(gap_between({0, 0, 1, 1}, {4, 5, 6, 6}) == doctest::Approx(5));
}
