#include "core/record/cut_check.h"

#include "core/plan/hole_settings.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/refusal.h"
#include "tests/support/support.h"

#include <algorithm>

using namespace brae;
using namespace brae::test;

TEST_CASE("a place that is told as cut is judged by the limits of its day, and named where it is near to holes of other days") {
    Green green = sample_green();
    green.holes.clear(), green.speeds.clear();
    const Vec2 middle = green.terrain->outline.centroid();
    const HoleLimits limits = hole_profile("everyday");
    // Without a speed it is not judged, and says so.
    CutCheck c = check_cut(green, middle, "2026-05-04", {}, limits);
    CHECK_FALSE(c.judged);
    REQUIRE(c.remarks.size() == 1);
    CHECK(holds(c.remarks[0], "no reading of its speed"));
    // With one, each limit that fails is told; by the edge the edge fails.
    const Vec2 edge = green.terrain->outline.nearest_edge_point(middle);
    c = check_cut(green, edge + 0.2 * unit(middle - edge), "2026-05-04", 9.0, limits);
    REQUIRE(c.judged);
    CHECK_FALSE(c.judged->fair);
    CHECK(std::any_of(c.remarks.begin(), c.remarks.end(), [](const std::string& r) { return r.starts_with("fails on edge:"); }));
    // The hole of two days before, and one planned for two days later.
    green.holes = {{"cut", middle + Vec2{2, 0}, "2026-05-02", "", false, true}, {"plan", middle + Vec2{0, 1.5}, "2026-05-06", "", false}};
    green.holes[1].by_plan = true;
    c = check_cut(green, middle, "2026-05-04", 9.0, limits);
    CHECK(std::any_of(c.remarks.begin(), c.remarks.end(), [](const std::string& r) { return holds(r, "2.0 m from the hole of 2026-05-02"); }));
    CHECK(std::any_of(c.remarks.begin(), c.remarks.end(), [](const std::string& r) { return holds(r, "1.5 m from the hole planned for 2026-05-06"); }));
}
