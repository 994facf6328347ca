#include "core/plan/hole_settings.h"

#include "core/base/error.h"
#include "tests/support/support.h"

#include <set>

using namespace brae;

TEST_CASE("every limit has a name, a range that holds its default, and a source") {
    std::set<std::string> keys;
    for (const std::string& profile : hole_profile_names()) {
        const HoleLimits limits = hole_profile(profile);
        check_hole_limits(limits);
        for (const HoleSetting& s : hole_settings()) {
            CHECK(shown(limits, s) >= s.low);
            CHECK(shown(limits, s) <= s.high);
            CHECK(std::string(s.source).size() > 5);
            keys.insert(s.key);
        }
    }
    CHECK(keys.size() == hole_settings().size());
}

// check-values.md: four paces, 3 ft, two feet (page); 3 % and 30/S % everyday (common practice); slope x S near 39 for
// competition (Lemons 2008 as restated by Brauer 2018, page).
TEST_CASE("published defaults are what the sources print") {
    const HoleLimits everyday = hole_profile("everyday"), competition = hole_profile("competition");
    CHECK(everyday.edge_m == doctest::Approx(4 * 0.9144));
    CHECK(everyday.radius_m == doctest::Approx(0.9144));
    CHECK(everyday.uniform_m == doctest::Approx(0.9144));
    CHECK(everyday.stop_within_m == doctest::Approx(0.6096).epsilon(0.001));
    CHECK(everyday.stoppable_share == 1);
    CHECK(everyday.slope_ceiling == doctest::Approx(0.03));
    CHECK(everyday.slope_times_speed == doctest::Approx(0.30));
    // The field table: 4.35, 3.90, 3.58, 3.24, 2.99 % at 9 to 13 ft, within 2 % of 39/S.
    const double table[5][2] = {{9, 4.35}, {10, 3.90}, {11, 3.58}, {12, 3.24}, {13, 2.99}};
    for (const auto& row : table)
        CHECK(100 * std::min(competition.slope_ceiling, competition.slope_times_speed / row[0]) == doctest::Approx(row[1]).epsilon(0.011));
}

TEST_CASE("a setting is set in the unit it is shown in and refused, by name, outside its range") {
    HoleLimits limits;
    set_shown(limits, "edge_paces", 5);
    CHECK(limits.edge_m == doctest::Approx(5 * 0.9144));
    set_shown(limits, "slope_ceiling_pct", 2.5);
    CHECK(limits.slope_ceiling == doctest::Approx(0.025));
    CHECK_THROWS_WITH_AS(set_shown(limits, "edge_paces", 300), doctest::Contains("edge_paces: found 300 paces; 0 to 30 paces is wanted"), Error);
    CHECK_THROWS_WITH_AS(set_shown(limits, "edge", 3), doctest::Contains("'edge' is no limit"), Error);
    CHECK_THROWS_WITH_AS(hole_profile("major"), doctest::Contains("everyday or competition is wanted"), Error);
    set_player(limits, 1.5, 8, 1);
    CHECK(limits.player.launch_sigma_rel == doctest::Approx(0.08));
    CHECK_THROWS_AS(set_player(limits, 90, 8, 1), Error);
    limits.edge_m = -1;
    CHECK_THROWS_AS(check_hole_limits(limits), Error);
}
