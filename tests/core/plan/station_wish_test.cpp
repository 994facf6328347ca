#include "core/plan/station_wish.h"

#include "core/base/error.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>
#include <string>

using namespace brae;
using namespace brae::test;

namespace {

std::string refusal(std::vector<StationWish> wishes) {
    try {
        check_wishes(wishes);
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::usage);
        return e.what();
    }
    return "";
}

}  // namespace

TEST_CASE("wishes that contradict one another are refused by number and in words") {
    StationWish good;
    CHECK(refusal({good}).empty());
    CHECK(refusal({}).find("no station") != std::string::npos);
    StationWish w = good;
    w.distance_m = {4, 2};
    CHECK(refusal({good, w}).find("station 2 of the lesson: a distance of 4 to 2 m") != std::string::npos);
    w = good;
    w.side = PuttSide::straight;
    w.break_m = Span{0.2, 0.4};
    CHECK(refusal({w}).find("a straight putt with a break of 20 cm") != std::string::npos);
    w = good;
    w.chance = Span{0.5, 1.5};
    CHECK(refusal({w}).find("0 to 1") != std::string::npos);
    w = good;
    w.past_m = std::nan("");
    CHECK(refusal({w}).find("a pace of") != std::string::npos);
    w = good;
    w.like = 0;
    CHECK(refusal({w}).find("an earlier one is wanted") != std::string::npos);
    StationWish left = good;
    left.side = PuttSide::left_to_right;
    w.side = PuttSide::right_to_left;
    CHECK(refusal({left, w}).find("of the other hand") != std::string::npos);
    CHECK(refusal(std::vector<StationWish>(13)).find("at most 12") != std::string::npos);
}

TEST_CASE("a step of 0.4 m is a tier and an even slope is none, however steep") {
    const auto step = [](double, double y) { return 0.2 * std::tanh(1.2 * (y - 12)); };
    const TerrainModel tier = green_of(step, ellipse({14, 12}, 12, 12));
    CHECK(climbs_tier(*tier.surface, {14, 9}, {14, 15}));
    CHECK(climbs_tier(*tier.surface, {14, 15}, {14, 9}));
    CHECK_FALSE(climbs_tier(*tier.surface, {11, 15}, {17, 15}));     // along the upper floor
    CHECK_FALSE(climbs_tier(*tier.surface, {14, 11.5}, {14, 12.5})); // too short to tell
    const TerrainModel even = green_of(tilted(0.08, {0, -1}), ellipse({14, 12}, 12, 12));
    CHECK_FALSE(climbs_tier(*even.surface, {14, 9}, {14, 15}));
}
