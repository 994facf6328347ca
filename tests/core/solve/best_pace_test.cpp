#include "core/solve/best_pace.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/capture.h"
#include "core/roll/capture_table.h"
#include "core/roll/green_speed.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;

TEST_CASE("on the level the best pace is where the closed form has it, by free fall and by the rim") {
    const auto level = test::plane(0, 1, 0);
    const double a = level_deceleration(10);
    for (CaptureModel model : {CaptureModel::free_fall, CaptureModel::rim})
        for (double d : {1.5, 3.0, 6.0}) {
            BestPaceOptions options;
            options.capture = model;
            const BestPace found = find_best_pace(level, test::wide_green(), {{0, 0}, {d, 0}, 10, 0.3}, options);
            REQUIRE(found.best);
            CHECK(found.capture == model);
            // Derived: at a pace the direction may be off by what the hole takes at that speed, the speed by what
            // reaches the near rim and by the limit at the centre. A dense search over the pace.
            const double rim = tabled_capture_limit(0, 0, 0).all_drop_mps;
            const double centred = model == CaptureModel::free_fall ? free_fall_capture_speed(0) : std::sqrt(rim * rim - 2 * a * kHoleRadius);
            double best = 0, best_past = 0;
            for (double past = 0.005; past <= 1.5; past += 0.0005) {
                const double v = std::sqrt(2 * a * (d + past));
                double in = 0, out = kHoleRadius;
                const auto taken = [&](double offset) {
                    const double speed = std::sqrt(2 * a * (d + past - std::sqrt(d * d - offset * offset)));
                    return capture(model, {offset, speed, 0, 0, a}) == Capture::drops;
                };
                if (!taken(0)) break;
                for (int k = 0; k < 50; ++k) {
                    const double mid = 0.5 * (in + out);
                    (taken(mid) ? in : out) = mid;
                }
                const double slow = std::sqrt(2 * a * (d - kHoleRadius)), fast = std::hypot(std::sqrt(2 * a * d), centred);
                const double f = kPi * degrees(std::asin(in / d)) * 100 * std::min(v - slow, fast - v) / v;
                if (f > best) {
                    best = f;
                    best_past = past;
                }
            }
            std::printf("best pace on the level, %s, from %.1f m: %.3f m (derived %.3f), %.3f deg, %.1f deg %%\n",
                        to_text(model).c_str(), d, found.best->past_m, best_past, found.best->width_deg(), found.best->forgiveness);
            // The rim's table is made of straight pieces, so that its top is one of several kinks next to each other.
            CHECK(std::abs(found.best->past_m - best_past) < (model == CaptureModel::rim ? 0.02 : 0.01));
            CHECK(found.best->forgiveness == doctest::Approx(best).epsilon(2e-3));
            CHECK_FALSE(found.at_end);
            CHECK_FALSE(found.best->high_deg);
            // The dying ball uses the hole nearly to its rim.
            REQUIRE(found.widest);
            CHECK(found.widest->past_m == 0);
        }
}

TEST_CASE("on breaking ground no pace of the table and none beside it forgives more than the best") {
    const auto surface = test::wavy(4);
    const PuttQuestion q{{-2, -1}, {1.5, 0.5}, 10, 0.3};
    const BestPace found = find_best_pace(surface, test::wide_green(), q);
    REQUIRE(found.best);
    REQUIRE(found.rows.size() == 16);
    CHECK(found.rows.front().past_m == 0);
    CHECK(found.rows.back().past_m == 1.5);
    for (const PaceRow& row : found.rows) CHECK(row.forgiveness <= found.best->forgiveness);
    BestPaceOptions dense;
    dense.rows = 61;
    const BestPace again = find_best_pace(surface, test::wide_green(), q, dense);
    CHECK(std::abs(again.best->past_m - found.best->past_m) < 0.01);
    CHECK(again.best->forgiveness == doctest::Approx(found.best->forgiveness).epsilon(1e-3));
    // High and low side are the two sides.
    REQUIRE(found.best->high_deg);
    CHECK(*found.best->high_deg + *found.best->low_deg == doctest::Approx(found.best->width_deg()));
    CHECK(*found.best->high_deg == (*found.best->aim_offset_m > 0 ? found.best->right_deg : found.best->left_deg));
    CHECK(found.best->ball_fast_mps > found.best->fast_mps);
    // The same bits again.
    const BestPace twice = find_best_pace(surface, test::wide_green(), q);
    CHECK(twice.best->past_m == found.best->past_m);
    CHECK(twice.best->forgiveness == found.best->forgiveness);
}

TEST_CASE("where the slope alone brings every ball too fast the answer says why there is no best pace") {
    // 12 % down: e > 1, a ball from above comes faster than any pace of the range.
    const auto steep = test::plane(0.12, 1, 0);
    const BestPace none = find_best_pace(steep, test::wide_green(), {{-6, 0}, {3, 0}, 10, 0.3});
    CHECK_FALSE(none.best);
    CHECK_FALSE(none.why_none.empty());
    CHECK(none.rows.size() == 16);
    BestPaceOptions fast;
    fast.least_past_m = 4;
    fast.most_past_m = 5;
    const BestPace too_fast = find_best_pace(test::plane(0, 1, 0), test::wide_green(), {{0, 0}, {3, 0}, 10, 0.3}, fast);
    CHECK(too_fast.why_none == "at every pace from 4 to 5 m past, the ball comes too fast for the hole");
    fast.most_past_m = 2;
    CHECK_THROWS_AS(find_best_pace(steep, test::wide_green(), {{-6, 0}, {3, 0}, 10, 0.3}, fast), Error);
    BestPaceOptions few;
    few.rows = 2;
    CHECK_THROWS_AS(find_best_pace(steep, test::wide_green(), {{-6, 0}, {3, 0}, 10, 0.3}, few), Error);
}
