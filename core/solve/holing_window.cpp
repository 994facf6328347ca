#include "core/solve/holing_window.h"

#include "core/base/constants.h"
#include "core/base/units.h"
#include "core/roll/run_roll.h"

#include <algorithm>
#include <cmath>

namespace brae {

bool holes_out(const PuttGround& ground, Launch launch, CaptureModel model) {
    RollRun run;
    run.capture = model;
    run.hole = ground.hole;
    run.tolerance = 1e-7;   // under a micrometre at the hole
    run.end_at_pass_m = 1.0;
    const Vec2 direction{std::cos(launch.angle), std::sin(launch.angle)};
    const SurfaceJet jet = ground.surface.jet(ground.ball.x, ground.ball.y);
    return run_roll(ground.surface, ground.outline, {ground.ball, horizontal_velocity(jet, direction, launch.speed)},
                    ground.level_decel, run, nullptr)
               .end == RollEnd::holed;
}

namespace {

// Walks from 0 in steps to the first that misses and halves back; `farthest` where none does.
template <class Holes>
double limit(const Holes& still_holes, double step, double farthest, int halvings) {
    double in = 0;
    while (in < farthest) {
        double out = std::min(in + step, farthest);
        if (still_holes(out)) {
            in = out;
            continue;
        }
        for (int k = 0; k < halvings; ++k) {
            const double mid = 0.5 * (in + out);
            (still_holes(mid) ? in : out) = mid;
        }
        return in;
    }
    return farthest;
}

}  // namespace

bool holing_window(const PuttGround& ground, Launch launch, HolingWindow& window, CaptureModel model) {
    if (!holes_out(ground, launch, model)) return false;

    // Directions at this speed: steps of a third of the half-width that the hole shows from the ball.
    const double look = std::min(0.1, kHoleRadius / distance(ground.ball, ground.hole) / 3);
    const auto turned = [&](double sign) {
        return limit([&](double by) { return holes_out(ground, {launch.angle + sign * by, launch.speed}, model); }, look, kPi / 2, 12);
    };
    window.left_deg = -degrees(turned(+1));
    window.right_deg = degrees(turned(-1));

    // Speeds in this direction.
    const double push = 0.02 * launch.speed;
    const auto pushed = [&](double sign, double farthest) {
        return limit([&](double by) { return holes_out(ground, {launch.angle, launch.speed + sign * by}, model); }, push, farthest, 12);
    };
    window.slow_mps = launch.speed - pushed(-1, 0.98 * launch.speed);
    window.fast_mps = launch.speed + pushed(+1, 20 - launch.speed);
    return true;
}

}  // namespace brae
