#include "core/terrain/smoothing_bias.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace brae;

TEST_CASE("ground as rough as expected keeps its variance, ground that shows no bias keeps the noise only") {
    // Expected mean square of d: a ninth of the variance (Beta functions, see the header; derived).
    CHECK(height_variance_here(9, 1) == doctest::Approx(9));
    CHECK(slope_variance_here(9, 1) == doctest::Approx(9));
    CHECK(height_variance_here(9, 0) == doctest::Approx(6));
    CHECK(slope_variance_here(9, 0) == doctest::Approx(3));
    CHECK(height_variance_here(9, 5) > 15);
}

TEST_CASE("a long error passes the smoothing, a short one does not") {
    CHECK(passed_shares(3, 0.01).height == doctest::Approx(1).epsilon(1e-6));
    CHECK(passed_shares(3, 0.01).slope == doctest::Approx(1).epsilon(1e-6));
    CHECK(passed_shares(1, 30).height < 0.01);
    const PassedShares some = passed_shares(3, 2);
    CHECK(some.slope < some.height);
    CHECK(some.height < 1);
}
