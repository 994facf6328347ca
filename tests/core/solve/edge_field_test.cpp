#include "core/solve/edge_field.h"

#include "core/base/constants.h"
#include "core/base/random.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {

// A star with deep bays and a gap, so that every kind of edge is near somewhere.
Outline star() {
    std::vector<Vec2> ring;
    for (int k = 0; k < 24; ++k) {
        const double a = 2 * kPi * k / 24, r = k % 2 ? 4.0 : 9.0;
        ring.push_back({r * std::cos(a), r * std::sin(a)});
    }
    return Outline(ring, OutlineSource::drawn).with_gaps({{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}});
}

}  // namespace

TEST_CASE("the clearance never promises more than the distance to the edge and has its sign") {
    const Outline green = star();
    const EdgeField field(green);
    Random random(1);
    int clear = 0;
    for (int n = 0; n < 3000; ++n) {
        const Vec2 p{random.uniform(-10, 10), random.uniform(-10, 10)};
        const double d = green.signed_distance(p), c = field.clearance(p);
        CHECK(std::abs(c) <= std::abs(d) + 1e-9);
        CHECK(c * d >= 0);
        clear += c != 0;
    }
    CHECK(clear > 500);
}

TEST_CASE("a short segment crosses a side exactly where the outline says that it leaves") {
    const Outline green = star();
    const EdgeField field(green);
    Random random(2);
    int crossed = 0;
    for (int n = 0; n < 5000; ++n) {
        const Vec2 a{random.uniform(-9, 9), random.uniform(-9, 9)};
        if (!green.contains(a)) continue;
        const double turn = random.uniform(0, 2 * kPi), length = random.uniform(0.01, 0.6);
        const Vec2 b = a + length * Vec2{std::cos(turn), std::sin(turn)};
        CHECK(field.crosses(a, b) == green.segment_leaves(a, b));
        crossed += field.crosses(a, b);
    }
    CHECK(crossed > 100);
}
