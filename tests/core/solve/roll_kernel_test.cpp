#include "core/solve/roll_kernel.h"

#include "core/roll/green_speed.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"
#include "tests/support/grounds.h"

#include <cmath>
#include <vector>

using namespace brae;

namespace {

// A wall at x = 2, and how often it was asked.
class Wall final : public RollEdge {
public:
    double inside_until(const RollLaneState&, const RollLaneState& after) const override {
        ++asked;
        return after.p.x > 2 ? -1 : after.s + (2 - after.p.x);
    }
    mutable int asked = 0;
};

}  // namespace

TEST_CASE("every ball of the lanes ends slow or at the start of the step in which it met the edge") {
    const auto wavy = test::wavy(3);
    const Wall wall;
    RollLaneTask task;
    task.field = &wavy;
    task.edge = &wall;
    task.level_decel = level_deceleration(10);
    task.tolerance = 1e-10;
    std::vector<RollLaneState> starts;
    std::vector<double> until;
    for (int k = 0; k < 27; ++k) {
        starts.push_back({{0, 0}, (0.5 + 0.07 * k) * Vec2{std::cos(0.7 * k), std::sin(0.7 * k)}, 0, 0});
        until.push_back(2);
    }
    std::vector<RollLaneResult> results(starts.size());
    CHECK(roll_lanes(task, starts.data(), until.data(), starts.size(), results.data()) > starts.size());
    CHECK(wall.asked > 0);
    int slow = 0, met = 0;
    for (std::size_t k = 0; k < starts.size(); ++k) {
        const RollLaneState& at = results[k].at;
        const double speed = surface_speed(wavy.jet(at.p.x, at.p.y), at.v);
        CHECK(at.p.x <= 2);
        // Rolled on, it comes to where the single roll comes; a ball stopped short is on the single roll's path.
        RollRun run;
        run.tolerance = 1e-12;
        const bool is_slow = results[k].end == RollLaneEnd::slow;
        if (!is_slow) run.time_limit_s = at.t;
        const RollOutcome exact = run_roll(wavy, {}, {starts[k].p, starts[k].v}, task.level_decel, run, nullptr);
        const Vec2 rest = is_slow ? stop_on_tangent_plane(wavy.jet(at.p.x, at.p.y), at.v, task.level_decel).displacement : Vec2{};
        CHECK(distance(exact.at.p, at.p + rest) < 1e-6);
        CHECK(std::abs(exact.length_m - at.s - norm(rest)) < 1e-6);
        CHECK((speed <= kTangentSpeed) == is_slow);
        ++(is_slow ? slow : met);
    }
    CHECK(slow > 5);
    CHECK(met > 2);
}

TEST_CASE("a ball that reaches the time limit or flies stops short of that step") {
    // A crest that falls away like a parabola of 1 m radius: at 4 m/s the ball flies.
    const test::Formula crest([](double x, double) { return SurfaceJet{-0.5 * x * x, -x, 0, -1, 0, 0}; });
    RollLaneTask task;
    task.field = &crest;
    task.level_decel = level_deceleration(10);
    const RollLaneState start{{0, 0}, {4, 0}, 0, 0};
    const double until = 1e300;
    RollLaneResult result;
    roll_lanes(task, &start, &until, 1, &result);
    CHECK(result.end == RollLaneEnd::stopped_short);
    CHECK(result.at.t < 0.5);
    const auto level = test::plane(0, 1, 0);
    task.field = &level;
    task.time_limit_s = 0.5;
    roll_lanes(task, &start, &until, 1, &result);
    CHECK(result.end == RollLaneEnd::stopped_short);
    CHECK(result.at.t < 0.5);
    CHECK(roll_lanes(task, nullptr, nullptr, 0, nullptr) == 0);
}
