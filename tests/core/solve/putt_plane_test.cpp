#include "core/solve/putt.h"

#include "core/base/constants.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {
Outline wide() { return Outline({{-20, -20}, {20, -20}, {20, 20}, {-20, 20}}, OutlineSource::drawn); }
}  // namespace

TEST_CASE("a ball that dies at the hole across a plane is aimed as the closed form says") {
    // sin(aim angle) = tan(asin(e)/2); 10 ft putts, aim offset in inches, +/- 0.1 (derived).
    struct Row { double s, slope, level, above, below; };
    const Row rows[] = {{8, 1, 6.15, 4.68, 4.05},   {8, 2, 12.46, 10.22, 7.63},  {10, 1, 7.71, 5.98, 4.98},
                        {10, 2, 15.71, 13.41, 9.28}, {10, 3, 24.38, 23.11, 13.11}, {12, 2, 19.08, 16.96, 10.86}};
    const double d = 10 * kFoot;
    for (const Row& row : rows) {
        const auto surface = test::plane(row.slope / 100, 0, -1);   // falls to the south
        const double h = std::sqrt(0.5) * d;
        const Vec2 balls[] = {{-d, 0}, {-h, h}, {-h, -h}};
        const double inches[] = {row.level, row.above, row.below};
        for (int i = 0; i < 3; ++i) {
            const auto answer = solve_putt(surface, wide(), {balls[i], {0, 0}, row.s, 0});
            REQUIRE(answer.solutions.size() == 1);
            REQUIRE(answer.solutions[0].aim_offset_m);
            // Uphill of the hole is to the left of a ball that faces east.
            CHECK(std::abs(-*answer.solutions[0].aim_offset_m / kInch - inches[i]) < 0.1);
            CHECK(answer.solutions[0].side == PuttSide::left_to_right);
        }
    }
}
