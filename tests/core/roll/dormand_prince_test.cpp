#include "core/roll/dormand_prince.h"

#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {

// y'' = -y as a system; the exact answer is cos and sin.
using Swing = DormandPrince<2>;
const auto swing = [](const Swing::State& y, Swing::State& dy) { dy = {y[1], -y[0]}; };

struct Errors { double end = 0, between = 0; };
Errors errors_with(int steps) {
    Swing s;
    s.y0 = {1, 0};
    swing(s.y0, s.k1);
    const double h = 2.0 / steps;
    Errors worst;
    for (int n = 0; n < steps; ++n) {
        s.step(swing, h, 2);
        s.prepare_dense();
        for (double theta : {0.3, 0.7}) {
            const auto y = s.at(theta);
            worst.between = std::max(worst.between, std::abs(y[0] - std::cos((n + theta) * h)));
        }
        s.advance();
    }
    worst.end = std::hypot(s.y0[0] - std::cos(2.0), s.y0[1] + std::sin(2.0));
    return worst;
}

}  // namespace

TEST_CASE("steps converge with the fifth order and the polynomial between them with the fourth") {
    const Errors coarse = errors_with(8), fine = errors_with(16);
    CHECK(std::log2(coarse.end / fine.end) > 4.7);
    CHECK(std::log2(coarse.between / fine.between) > 3.7);
    CHECK(fine.end < 1e-7);
}

TEST_CASE("the polynomial of a step meets both of its ends") {
    Swing s;
    s.y0 = {1, 0};
    swing(s.y0, s.k1);
    s.step(swing, 0.3, 2);
    s.prepare_dense();
    CHECK(s.at(0) == s.y0);
    CHECK(std::abs(s.at(1)[0] - s.y1[0]) < 1e-15);
}

TEST_CASE("step control shrinks what failed and grows what was easy") {
    StepControl control;
    CHECK(control.factor(32) < 0.7);
    CHECK(control.factor(1e-6) > 2);
    CHECK(control.factor(0.9) < 1.1);
}
