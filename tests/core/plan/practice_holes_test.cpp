#include "core/plan/practice_holes.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {

// Fair places on a lattice of 0.5 m over a rectangle; the score falls to the east.
std::vector<HolePosition> lattice(double width, double depth) {
    std::vector<HolePosition> out;
    for (double y = 0; y <= depth; y += 0.5)
        for (double x = 0; x <= width; x += 0.5) {
            HolePosition h;
            h.p = {x, y};
            h.score = 1 - x / 100;
            h.fair = true;
            out.push_back(h);
        }
    return out;
}
StationGround station(const std::string& label, Vec2 ball, Vec2 hole) { return {label, ball, hole, hole + Vec2{0.3, 0}, {}}; }

}  // namespace

TEST_CASE("practice holes keep their spacing, the best place first, and as many as were asked for") {
    PracticeRules rules;
    rules.count = 6;
    const PracticeHoles made = practice_holes(lattice(12, 15), {}, {}, rules);
    REQUIRE(made.holes.size() == 6);
    CHECK(made.why_fewer.empty());
    CHECK(made.holes[0].p == Vec2{0, 0});
    for (std::size_t k = 0; k < 6; ++k)
        for (std::size_t m = 0; m < k; ++m) CHECK(distance(made.holes[k].p, made.holes[m].p) >= rules.apart_m);
    CHECK(practice_clashes({made.holes[0].p, made.holes[1].p, made.holes[2].p}, {}, rules).empty());
}

TEST_CASE("where fewer fit it is said, with the spacing at which all would, and there they do") {
    PracticeRules rules;
    rules.count = 4;
    rules.apart_m = 9;
    // A strip of 20 m takes three holes 9 m apart; four with 6.5 (on the lattice), for 20 / 3 = 6.67.
    const auto strip = lattice(20, 0);
    const PracticeHoles made = practice_holes(strip, {}, {}, rules);
    CHECK(made.holes.size() == 3);
    CHECK(made.widest_m == doctest::Approx(6.5));
    CHECK(made.why_fewer.find("3 of 4 holes fit 9.0 m apart") != std::string::npos);
    rules.apart_m = made.widest_m;
    CHECK(practice_holes(strip, {}, {}, rules).holes.size() == 4);
    rules.apart_m += 0.1;
    CHECK(practice_holes(strip, {}, {}, rules).holes.size() == 3);
    CHECK(practice_holes({}, {}, {}, rules).holes.empty());
}

TEST_CASE("the coach's stations keep their hole, and no other comes onto their ground") {
    PracticeRules rules;
    rules.count = 5;
    rules.apart_m = 3;
    const std::vector<StationGround> stations{station("A", {2, 2}, {6, 7}), station("B", {10, 2}, {6, 7}), station("C", {6, 12}, {6.01, 7})};
    const PracticeHoles made = practice_holes(lattice(12, 15), stations, {{0, 14}}, rules);
    REQUIRE(made.holes.size() == 5);
    CHECK(made.holes[0].of_station);
    CHECK(made.holes[0].p == Vec2{6, 7});
    std::vector<Vec2> holes;
    for (std::size_t k = 0; k < made.holes.size(); ++k) {
        holes.push_back(made.holes[k].p);
        CHECK(made.holes[k].of_station == (k == 0));
        CHECK((k == 0 || distance(made.holes[k].p, {0, 14}) >= rules.recent_m));
    }
    CHECK(practice_clashes(holes, stations, rules).empty());
    // A hole put on a ball's way by hand is named, and so is one that the stations miss.
    const auto clashes = practice_clashes({{4, 4.4}, {5, 5}}, stations, rules);
    REQUIRE(clashes.size() == 4);
    CHECK(clashes[0].find("hole 1 lies 0.1 m from the ground of station A") != std::string::npos);
    CHECK(clashes[1].find("holes 1 and 2 lie 1.2 m apart") != std::string::npos);
    CHECK(clashes[3].find("is not among them") != std::string::npos);
}

TEST_CASE("on scattered places no rule is ever broken") {
    Random random(5);
    for (int round = 0; round < 40; ++round) {
        std::vector<HolePosition> fair(60);
        for (HolePosition& h : fair) h.p = {random.uniform(0, 20), random.uniform(0, 20)}, h.score = random.uniform();
        const std::vector<StationGround> stations{station("A", {random.uniform(0, 20), 3}, {random.uniform(0, 20), 12})};
        PracticeRules rules;
        rules.count = 1 + round % 9;
        rules.apart_m = random.uniform(1, 6);
        const PracticeHoles made = practice_holes(fair, stations, {}, rules);
        CHECK(static_cast<int>(made.holes.size()) <= std::max(rules.count, 1));
        std::vector<Vec2> holes;
        for (const PracticeHole& h : made.holes) holes.push_back(h.p);
        CHECK(practice_clashes(holes, stations, rules).empty());
        CHECK(made.why_fewer.empty() == (static_cast<int>(made.holes.size()) == rules.count));
    }
}

TEST_CASE("counts and distances that are none are refused") {
    PracticeRules rules;
    rules.count = 0;
    CHECK_THROWS_WITH_AS(practice_holes({}, {}, {}, rules), doctest::Contains("1 to 18"), Error);
    rules = {};
    rules.apart_m = std::nan("");
    CHECK_THROWS_WITH_AS(practice_holes({}, {}, {}, rules), doctest::Contains("0 to 100 m"), Error);
}
