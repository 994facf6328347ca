#include "core/plan/wish_search.h"

#include "core/base/random.h"
#include "core/base/units.h"
#include "core/roll/rolling.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <algorithm>
#include <cmath>
#include <cstring>

using namespace brae;
using namespace brae::test;

namespace {

StationPlan own(const TerrainModel& green, Vec2 hole, std::vector<StationWish> wishes, std::vector<Vec2> other_holes = {}) {
    StationRequest r;
    r.hole = hole;
    r.own = LessonKind{"mine", "", "", std::move(wishes)};
    r.other_holes = std::move(other_holes);
    Progress progress;
    return plan_stations(green, r, progress);
}

// Share of rolled putts that drop when the player's errors are drawn.
double holed_share(const TerrainModel& green, const PracticeStation& s, const PlayerSpread& player, int putts, std::uint64_t seed) {
    Random random(seed);
    const Vec2 start = s.marker - s.ball;
    int holed = 0;
    for (int k = 0; k < putts; ++k) {
        const double turn = player.direction_sigma_rad() * random.normal();
        const Vec2 toward{std::cos(turn) * start.x - std::sin(turn) * start.y, std::sin(turn) * start.x + std::cos(turn) * start.y};
        RollOptions open;
        open.hole = s.hole;
        holed += roll(*green.surface, green.outline, s.ball, toward, s.launch_mps * (1 + player.launch_sigma_rel * random.normal()),
                      s.green_speed_ft, open).end == RollEnd::holed;
    }
    return holed / static_cast<double>(putts);
}

StationWish wish(Span metres) {
    StationWish w;
    w.distance_m = metres;
    return w;
}

}  // namespace

TEST_CASE("each station meets the limits of its wish, by the full solution") {
    StationWish a = wish({2.5, 3.5}), b = wish({1.5, 2}), c = wish({3, 4});
    a.break_m = Span{0.20, 0.24};
    a.side = PuttSide::left_to_right;
    b.slope_along = Span{0.012, 0.03};
    c.break_m = Span{0.4, 0.9};
    c.side = PuttSide::right_to_left;
    c.past_m = 0.1;
    for (const TerrainModel& green : {gentle_green(), crowned_green()}) {
        const Vec2 hole = green.outline.centroid() + Vec2{1, 1};
        const StationPlan p = own(green, hole, {a, b, c});
        CAPTURE(p.missing);
        REQUIRE(p.stations.size() == 3);
        CHECK(p.stations[0].lesson == "mine");
        CHECK(p.stations[0].break_m >= 0.199);
        CHECK(p.stations[0].break_m <= 0.241);
        CHECK(p.stations[0].side == PuttSide::left_to_right);
        CHECK(p.stations[1].slope_along_pct >= 1.2);
        CHECK(p.stations[1].slope_along_pct <= 3);
        CHECK(p.stations[1].distance_m >= 1.5 - 1e-9);
        CHECK(p.stations[1].distance_m <= 2 + 1e-9);
        CHECK(p.stations[2].side == PuttSide::right_to_left);
        CHECK(p.stations[2].past_m == 0.1);
        // Room between players, and no ball near another's line.
        for (const auto& s : p.stations)
            for (const auto& t : p.stations) {
                if (&s == &t) continue;
                CHECK(distance(s.ball, t.ball) >= 1.2 - 1e-9);
                const Vec2 d = hole - t.ball;
                const double along = std::clamp(dot(s.ball - t.ball, d) / dot(d, d), 0.0, 1.0);
                CHECK(distance(s.ball, t.ball + along * d) >= 0.6 - 1e-9);
            }
    }
}

TEST_CASE("a station like another has its hand, its length and its break, elsewhere") {
    StationWish first = wish({2, 4});
    first.break_m = Span{0.1, 0.6};
    StationWish again = first;
    again.like = 0;
    const StationPlan p = own(crowned_green(), {13.5, 15.5}, {first, again});
    CAPTURE(p.missing);
    REQUIRE(p.stations.size() == 2);
    CHECK(p.stations[1].note.find("like station A") == 0);
    CHECK(p.stations[0].side == p.stations[1].side);
    CHECK(std::abs(p.stations[0].distance_m - p.stations[1].distance_m) <= 0.5);
    CHECK(std::abs(p.stations[0].break_m - p.stations[1].break_m) <= std::max(0.02, 0.1 * p.stations[0].break_m) + 0.002);
    CHECK(distance(p.stations[0].ball, p.stations[1].ball) >= 2);
}

TEST_CASE("balls on one line are taken where the wish leaves nothing else, and say so") {
    StationWish near = wish({1.4, 1.6}), far = wish({2.9, 3.1});
    near.side = far.side = PuttSide::straight;
    near.slope_along = far.slope_along = Span{0.015, 0.03};
    const StationPlan p = own(gentle_green(), {14, 12}, {near, far});
    REQUIRE(p.stations.size() == 2);
    CHECK(p.stations[0].note.find("on the line") == std::string::npos);
    CHECK(p.stations[1].note.find("on the line of another station: one player at a time") != std::string::npos);
}

TEST_CASE("what cannot be had is told with what there is") {
    StationWish steep = wish({2, 3}), big = wish({2, 3}), tier = wish({4, 6});
    steep.note = "steep";
    steep.slope_along = Span{-0.2, -0.05};
    big.break_m = Span{2.5, 3};
    tier.over_tier = true;
    const StationPlan p = own(gentle_green(), {14, 12}, {steep, big, tier, wish({2, 3})});
    CHECK(p.stations.size() == 1);
    CHECK(p.missing.find("station 1 (steep): none of") != std::string::npos);
    CHECK(p.missing.find("they have -2.0 to 2.0") != std::string::npos);
    CHECK(p.missing.find("station 2: none of") != std::string::npos);
    CHECK(own(gentle_green(), {14, 12}, {tier, tier}).missing.find("stations 1 and 2: none of") == 0);
    StationWish over = tier;
    over.note = "over the tier";
    CHECK(own(gentle_green(), {14, 12}, {over, over, over}).missing.find("stations 1, 2 and 3 (over the tier): none of") == 0);
    // Where rounding would make what there is the same as what is wanted, more places are told.
    StationWish near = wish({2, 3});
    near.slope_along = Span{0.02001, 0.06};
    const std::string close = own(gentle_green(), {14, 12}, {near}).missing;
    CHECK_MESSAGE(close.find("they have -2.0 to 2.0") == std::string::npos, close);
    CHECK(p.missing.find("station 3: none of") != std::string::npos);
    CHECK(p.missing.find("has a tier between it and the hole") != std::string::npos);
    // All spots too far away.
    CHECK(own(gentle_green(), {14, 12}, {wish({18, 19})}).missing.find("off the green") != std::string::npos);
}

TEST_CASE("balls and paths keep clear of other holes in play") {
    const Vec2 hole{14, 12};
    std::vector<Vec2> others;
    for (int k = 0; k < 6; ++k) others.push_back(hole + 2.0 * direction_of_bearing(60.0 * k));
    const StationPlan p = own(gentle_green(), hole, std::vector<StationWish>(4, wish({2.5, 4})), others);
    REQUIRE(p.stations.size() == 4);
    for (const auto& s : p.stations)
        for (Vec2 o : others) {
            CHECK(distance(s.ball, o) >= 1.0);
            for (std::size_t i = 0; i + 1 < s.path.size(); ++i) {
                const Vec2 d = s.path[i + 1] - s.path[i];
                const double t = dot(d, d) > 0 ? std::clamp(dot(o - s.path[i], d) / dot(d, d), 0.0, 1.0) : 0.0;
                CHECK(distance(o, s.path[i] + t * d) >= 0.195);
            }
        }
}

TEST_CASE("stations of an even chance are holed about every second time") {
    StationRequest r;
    r.hole = {14, 12};
    r.lesson = "even-chance";
    Progress progress;
    const TerrainModel green = gentle_green();
    const StationPlan p = plan_stations(green, r, progress);
    CAPTURE(p.missing);
    REQUIRE(p.stations.size() >= 3);
    // Thrown dice: 4,000 rolled putts with the player's errors, seeded; the standard error is 0.8 %.
    for (const PracticeStation& s : p.stations) CHECK(holed_share(green, s, r.player, 4000, 11) == doctest::Approx(0.5).epsilon(0.22));
}

TEST_CASE("the same wishes give the same bits") {
    const std::vector<StationWish> wishes(5, wish({2, 4}));
    const StationPlan a = own(crowned_green(), {13.5, 15.5}, wishes), b = own(crowned_green(), {13.5, 15.5}, wishes);
    REQUIRE(a.stations.size() == 5);
    REQUIRE(b.stations.size() == 5);
    for (int k = 0; k < 5; ++k) CHECK(std::memcmp(&a.stations[k].ball, &b.stations[k].ball, sizeof(Vec2)) == 0);
}
