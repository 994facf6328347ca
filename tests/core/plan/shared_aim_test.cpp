#include "core/base/units.h"
#include "core/plan/practice_stations.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <algorithm>
#include <cmath>

using namespace brae;
using namespace brae::test;

TEST_CASE("on a plane the putts from a ring share an aim above the hole on its fall line") {
    // Common practice: round a hole on an even slope one aim serves putts of one length. Ahead of some balls only.
    StationRequest r;
    r.hole = {14, 12};
    r.lesson = "ring";
    Progress progress;
    const StationPlan plan = plan_stations(green_of(tilted(0.02, {0, -1}), ellipse({14, 12}, 12, 12)), r, progress);
    REQUIRE(plan.stations.size() == 8);
    REQUIRE(plan.shared_aim);
    CHECK(plan.shared_aim->labels.size() >= 3);
    CHECK(plan.shared_aim->apart_m <= 0.03);
    CHECK(plan.shared_aim->p.y > 12.1);                      // uphill: the slope falls to the south
    // Each named station's start line passes by, measured by hand.
    for (const std::string& label : plan.shared_aim->labels) {
        const auto s = std::find_if(plan.stations.begin(), plan.stations.end(), [&](const PracticeStation& x) { return x.label == label; });
        REQUIRE(s != plan.stations.end());
        CHECK(std::abs(cross(unit(s->marker - s->ball), plan.shared_aim->p - s->ball)) <= 0.03 + 1e-9);
    }
}

TEST_CASE("lines that do not meet share nothing") {
    std::vector<PracticeStation> stations(3);
    for (int k = 0; k < 3; ++k) {
        stations[k].label = std::string(1, static_cast<char>('A' + k));
        stations[k].hole = {0, 0};
        stations[k].ball = 3 * direction_of_bearing(120.0 * k);
        // Each passes the hole by a foot on its own right.
        const Vec2 aim = 0.3 * right_of(unit(-stations[k].ball));
        stations[k].marker = aim;
        stations[k].distance_m = 3;
        stations[k].start_line_at_1m = stations[k].ball + unit(aim - stations[k].ball);
    }
    CHECK_FALSE(shared_aim(stations));
    CHECK_FALSE(shared_aim({}));
}
