#include "core/solve/fan_kernel.h"

#include "core/roll/green_speed.h"
#include "core/solve/back_trace.h"
#include "tests/support/grounds.h"

#include <cmath>
#include <cstring>

using namespace brae;

namespace {

constexpr double kAngles[kFanRays] = {0.2, 1.9, -2.4, -0.8};
const Vec2 kHole{0.4, -0.2};

Fan start_fan(const HeightField& surface, double level_decel) {
    Fan fan{};
    for (int n = 0; n < kFanRays; ++n) {
        const RollState from = back_start(surface, kHole, level_decel, speed_at_hole(0.3, 10), kAngles[n]).state;
        const double values[kRayQuantities] = {from.p.x, from.p.y, from.v.x, from.v.y, 0};
        for (int c = 0; c < kRayQuantities; ++c) fan.value[c][n] = values[c];
    }
    return fan;
}

}  // namespace

TEST_CASE("the rays of a fan are those of the scalar tracer, on every vector target with the same bits") {
    const auto wavy = test::wavy(3);
    const SplineSurface rough = test::rough_spline(3);
    for (const HeightField* surface : {static_cast<const HeightField*>(&wavy), static_cast<const HeightField*>(&rough)}) {
        FanTask task;
        task.spline = dynamic_cast<const SplineSurface*>(surface);
        task.field = surface;
        task.level_decel = level_deceleration(10);
        task.s_end = 4.3;
        task.tolerance = 1e-10;
        Fan fan = start_fan(*surface, task.level_decel);
        REQUIRE(trace_fan(task, fan));
        for (int n = 0; n < kFanRays; ++n) {
            BackRun run;
            run.s_end = task.s_end;
            run.tolerance = 1e-11;
            const BackOutcome exact = trace_back(*surface, nullptr, back_start(*surface, kHole, task.level_decel, speed_at_hole(0.3, 10), kAngles[n]),
                                                 task.level_decel, run, nullptr);
            const Vec2 v{fan.value[kRayVx][n], fan.value[kRayVy][n]};
            CHECK(distance({fan.value[kRayX][n], fan.value[kRayY][n]}, exact.last.p) < 1e-7);
            CHECK(distance(v, exact.last.v) < 1e-7);
            CHECK(std::abs(fan.value[kRayT][n] - exact.last.t) < 1e-7);
            CHECK(fan.by_s[kRayX][n] == doctest::Approx(-v.x / norm(v)));
            CHECK(fan.by_s[kRayT][n] == doctest::Approx(1 / norm(v)));
        }
        for (const std::int64_t target : ray_kernel_targets()) {
            CAPTURE(ray_kernel_target_name(target));
            force_ray_kernel_target(target);
            Fan again = start_fan(*surface, task.level_decel);
            CHECK(trace_fan(task, again));
            force_ray_kernel_target(0);
            CHECK(std::memcmp(&again, &fan, sizeof fan) == 0);
        }
    }
}

TEST_CASE("a fan of which one ray comes to rest before its length is refused") {
    // Backwards up a slope of 12 % that holds no ball: it came from rest.
    const auto steep = test::plane(0.12, 1, 0);
    FanTask task;
    task.field = &steep;
    task.level_decel = level_deceleration(10);
    task.s_end = 6;
    Fan fan = start_fan(steep, task.level_decel);
    CHECK(trace_fan(task, fan));   // across the slope they only turn
    fan = start_fan(steep, task.level_decel);
    const RollState down = back_start(steep, kHole, task.level_decel, speed_at_hole(0.3, 10), 0).state;
    fan.value[kRayVx][2] = down.v.x;
    fan.value[kRayVy][2] = 0;
    CHECK(!trace_fan(task, fan));
}
