#include "core/plan/station_speeds.h"

#include "core/base/error.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

const TerrainModel& plane() {
    static const TerrainModel green = green_of(tilted(0.02, {0, -1}), ellipse({14, 12}, 12, 12));
    return green;
}

PracticeStation station(double speed_ft) {
    StationRequest r;
    r.hole = {14, 12};
    r.green_speed_ft = speed_ft;
    return station_at(plane(), r, {11, 12}, "A");
}

}  // namespace

TEST_CASE("the break grows with the green's speed and agrees with the station's own") {
    const PracticeStation s = station(10);
    const auto rows = breaks_at_speeds(plane(), s, 8.5);
    REQUIRE(rows.size() == 6);
    CHECK(rows[0].green_speed_ft == 8.5);
    CHECK(rows[0].usual);
    for (std::size_t k = 0; k < rows.size(); ++k) {
        REQUIRE(rows[k].break_m);
        if (k > 0) {
            CHECK(*rows[k].break_m > *rows[k - 1].break_m);
            CHECK(rows[k].launch_mps < rows[k - 1].launch_mps);
            CHECK_FALSE(rows[k].usual);
        }
    }
    CHECK(rows[3].green_speed_ft == 10);
    CHECK(std::abs(*rows[3].break_m - s.break_m) < 1e-9);
    CHECK(std::abs(*rows[2].break_m - s.break_slower_m) < 1e-9);
    CHECK(std::abs(*rows[4].break_m - s.break_faster_m) < 1e-7);
}

TEST_CASE("speeds outside what the program accepts are left out and a usual one there is refused") {
    CHECK(breaks_at_speeds(plane(), station(4.2)).front().green_speed_ft == 4.2);
    CHECK_THROWS_AS(breaks_at_speeds(plane(), station(10), 30.0), Error);
    // A usual speed that is there already is no row of its own.
    const auto rows = breaks_at_speeds(plane(), station(10), 9.5);
    REQUIRE(rows.size() == 5);
    CHECK(rows[1].usual);
}

TEST_CASE("a kept station that cannot be solved any more gives what it keeps") {
    PracticeStation s = station(10);
    const auto good = breaks_for_sheet(plane(), {s}, 8.5);
    REQUIRE(good.size() == 1);
    CHECK(good[0].size() == 6);
    s.ball = {500, 500};
    s.break_faster_m = std::nan("");
    const auto rows = breaks_for_sheet(plane(), {s}, 8.5);
    REQUIRE(rows.size() == 1);
    REQUIRE(rows[0].size() == 3);
    CHECK(*rows[0][0].break_m == s.break_slower_m);
    CHECK_FALSE(rows[0][2].break_m);
}
