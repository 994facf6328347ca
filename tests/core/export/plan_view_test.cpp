#include "core/export/plan_view.h"
#include "tests/support/support.h"

using namespace brae;

TEST_CASE("ten metres are 100 mm at 1:100, and north is up") {
    const PlanTransform t{points_per_metre(100), {5, 7}, {300, 400}};
    const Vec2 a = t({5, 7}), b = t({15, 7}), c = t({5, 17});
    CHECK(a == Vec2{300, 400});
    CHECK((b.x - a.x) / kPointsPerMm == doctest::Approx(100).epsilon(1e-12));
    CHECK(b.y == a.y);
    CHECK((a.y - c.y) / kPointsPerMm == doctest::Approx(100).epsilon(1e-12));
}

TEST_CASE("the largest scale that fits is taken, and none where none fits") {
    const double w = 180 * kPointsPerMm, h = 210 * kPointsPerMm;
    CHECK(largest_scale(9, 10, w, h, sheet_scales()) == 50);       // 180 mm by 200 mm
    CHECK(largest_scale(9.01, 10, w, h, sheet_scales()) == 75);
    CHECK(largest_scale(30, 20, w, h, sheet_scales()) == 200);     // 150 mm; at 1:150 200 mm
    CHECK(largest_scale(90, 105, w, h, sheet_scales()) == 500);
    CHECK(largest_scale(90.1, 20, w, h, sheet_scales()) == 750);
    CHECK(largest_scale(360, 420, w, h, sheet_scales()) == 2000);
    CHECK(largest_scale(360.1, 20, w, h, sheet_scales()) == 0);
}

TEST_CASE("labels of things that crowd do not lie on one another nor outside the plan") {
    const Rect area{0, 0, 400, 400};
    LabelPlacer placer(area);
    std::vector<Rect> placed;
    for (int k = 0; k < 12; ++k) placer.keep_clear(Vec2{200.0 + 8 * (k % 4), 200.0 + 8 * (k / 4)}, 2);
    for (int k = 0; k < 12; ++k) {
        const Rect r = placer.place({200.0 + 8 * (k % 4), 200.0 + 8 * (k / 4)}, 9, 8, 2);
        for (const Rect& o : placed) CHECK_FALSE(r.meets(o));
        placed.push_back(r);
    }
    const Rect corner = placer.place({398, 2}, 30, 8, 2);
    CHECK(corner.x1 <= 400);
    CHECK(corner.y0 >= 0);
}
