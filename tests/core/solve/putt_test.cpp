#include "core/solve/putt.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "tests/core/solve/grounds.h"
#include "tests/core/solve/peer.h"

#include <cmath>
#include <limits>

using namespace brae;

namespace {

struct Worst { double offset = 0, speed = 0; int solved = 0, none = 0, several = 0; };

// Rolls every solution of many putts by the independent solver and keeps the worst miss.
Worst check_putts(const HeightField& surface, Random& random, int putts, double past_low, double past_high) {
    const Outline green = test::wide_green();
    PuttOptions options;
    options.window = false;
    options.green_speed_sigma_ft = 0;
    Worst worst;
    for (int i = 0; i < putts; ++i) {
        const Vec2 hole{random.uniform(-5, 5), random.uniform(-5, 5)};
        const double away = random.uniform(0.5, 8), turn = random.uniform(0, 2 * kPi);
        const Vec2 ball = hole + away * Vec2{std::cos(turn), std::sin(turn)};
        if (!green.contains(ball)) continue;
        const double speed_ft = random.uniform(7, 12), past = random.uniform(past_low, past_high);
        const PuttAnswer answer = solve_putt(surface, green, {ball, hole, speed_ft, past}, options);
        CHECK(answer.solutions.empty() != answer.why_none.empty());
        if (answer.solutions.empty()) {
            MESSAGE("none: " << answer.why_none);
            ++worst.none;
        }
        worst.several += answer.solutions.size() > 1;
        for (const PuttRead& read : answer.solutions) {
            ++worst.solved;
            const test::PeerPass pass = test::peer_roll(surface, ball.x, ball.y, read.direction.x, read.direction.y,
                                                        read.launch_mps, speed_ft, hole.x, hole.y, 1e-4);
            worst.offset = std::max(worst.offset, pass.offset);
            worst.speed = std::max(worst.speed, std::abs(pass.speed - speed_at_hole(past, speed_ft)));
        }
    }
    return worst;
}

}  // namespace

TEST_CASE("an independent solver that rolls the answers on wavy ground meets the hole at the asked speed") {
    Random random(11);
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        const auto surface = test::wavy(seed);
        const Worst worst = check_putts(surface, random, 30, 0.05, 1.0);
        CHECK(worst.solved > 20);
        CHECK(worst.offset < 1e-5);
        CHECK(worst.speed < 1e-4);
        MESSAGE(seed << ": " << worst.solved << " solved, " << worst.several << " several, " << worst.none << " none, worst " << worst.offset << " m "
                     << worst.speed << " m/s");
    }
}

TEST_CASE("an independent solver that rolls the answers on a rough spline meets the hole at the asked speed") {
    Random random(12);
    for (std::uint64_t seed = 1; seed <= 3; ++seed) {
        const SplineSurface surface = test::rough_spline(seed);
        const Worst worst = check_putts(surface, random, 20, 0.05, 1.0);
        CHECK(worst.solved > 12);
        CHECK(worst.offset < 1e-4);
        CHECK(worst.speed < 1e-3);
        MESSAGE(seed << ": " << worst.solved << " solved, " << worst.several << " several, " << worst.none << " none, worst " << worst.offset << " m "
                     << worst.speed << " m/s");
    }
}

TEST_CASE("an independent solver that rolls the answers at no pace lets the ball die in the middle of the hole") {
    Random random(13);
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        const auto surface = test::wavy(seed);
        const Worst worst = check_putts(surface, random, 20, 0, 0);
        CHECK(worst.solved > 12);
        CHECK(worst.offset < 1e-4);
        CHECK(worst.speed < 3e-3);
        MESSAGE(seed << ": " << worst.solved << " solved, " << worst.several << " several, " << worst.none << " none, worst " << worst.offset << " m "
                     << worst.speed << " m/s");
    }
}
