#include "core/solve/ray_kernel.h"

#include "core/base/constants.h"
#include "core/roll/green_speed.h"
#include "core/solve/back_trace.h"
#include "tests/support/grounds.h"

#include <array>
#include <cmath>
#include <cstring>
#include <vector>

using namespace brae;

namespace {

constexpr double kFeet = 10, kPast = 0.3;
const Vec2 kHole{0.4, -0.2};

struct Batch {
    std::vector<double> nodes;
    std::vector<std::vector<RayNode>> rays;
    std::vector<RayLife> lives;
};

Batch trace(const HeightField& surface, const std::vector<double>& angles, double tolerance, double length = 6) {
    Batch out;
    for (double s = 0; s < length; s += 0.2) out.nodes.push_back(s);
    RayTask task;
    task.spline = dynamic_cast<const SplineSurface*>(&surface);
    task.field = &surface;
    task.level_decel = level_deceleration(kFeet);
    task.west = task.south = -10;
    task.east = task.north = 10;
    task.nodes = out.nodes.data();
    task.node_count = static_cast<int>(out.nodes.size());
    task.tolerance = tolerance;
    task.fastest = kFastestLaunchMps;
    std::vector<RayOrigin> origins;
    std::vector<RayNode*> to;
    out.rays.resize(angles.size());
    out.lives.resize(angles.size());
    const double v = speed_at_hole(kPast, kFeet);
    for (std::size_t k = 0; k < angles.size(); ++k) {
        // The derivative of the start by central differences.
        const auto at = [&](double a) { return back_start(surface, kHole, task.level_decel, v, a).state; };
        const RollState here = at(angles[k]), less = at(angles[k] - 1e-5), more = at(angles[k] + 1e-5);
        const Vec2 dv = (more.v - less.v) / 2e-5;
        origins.push_back({{here.p.x, here.p.y, here.v.x, here.v.y, 0, 0, 0, dv.x, dv.y, 0}});
        out.rays[k].resize(out.nodes.size());
        to.push_back(out.rays[k].data());
    }
    trace_ray_batch(task, origins.data(), angles.size(), to.data(), out.lives.data());
    return out;
}

}  // namespace

TEST_CASE("rays of the kernel are those of the scalar tracer at every node") {
    const auto wavy = test::wavy(3);
    const SplineSurface rough = test::rough_spline(3);
    for (const HeightField* surface : {static_cast<const HeightField*>(&wavy), static_cast<const HeightField*>(&rough)}) {
        const Batch batch = trace(*surface, {0.1, 1.2, 2.9, -2.2, -0.7}, 1e-10);
        for (std::size_t k = 0; k < batch.rays.size(); ++k) {
            REQUIRE(batch.lives[k].nodes > 20);
            const double angle = std::array{0.1, 1.2, 2.9, -2.2, -0.7}[k];
            for (int n = 5; n < batch.lives[k].nodes; n += 6) {
                BackRun run;
                run.s_end = batch.nodes[static_cast<std::size_t>(n)];
                run.tolerance = 1e-11;
                const double a_level = level_deceleration(kFeet);
                const BackOutcome exact = trace_back(*surface, nullptr,
                                                     back_start(*surface, kHole, a_level, speed_at_hole(kPast, kFeet), angle),
                                                     a_level, run, nullptr);
                const RayNode& node = batch.rays[k][static_cast<std::size_t>(n)];
                CHECK(distance({node.value[kRayX], node.value[kRayY]}, exact.last.p) < 1e-7);
                CHECK(distance({node.value[kRayVx], node.value[kRayVy]}, exact.last.v) < 1e-7);
                CHECK(std::abs(node.value[kRayT] - exact.last.t) < 1e-7);
            }
        }
    }
}

TEST_CASE("the derivatives carried along a ray are those of differences between rays and nodes") {
    const auto surface = test::wavy(4);
    constexpr double e = 1e-4;
    const Batch batch = trace(surface, {0.8 - e, 0.8, 0.8 + e}, 1e-11);
    const int last = std::min({batch.lives[0].nodes, batch.lives[1].nodes, batch.lives[2].nodes});
    REQUIRE(last > 20);
    for (int n = 3; n < last; n += 4) {
        const auto k = static_cast<std::size_t>(n);
        const RayNode &less = batch.rays[0][k], &here = batch.rays[1][k], &more = batch.rays[2][k];
        for (int c = 0; c < kRayQuantities; ++c) {
            CHECK(here.by_parameter[c] == doctest::Approx((more.value[c] - less.value[c]) / (2 * e)).epsilon(1e-5));
            CHECK(std::abs(here.by_both[c] - (more.by_s[c] - less.by_s[c]) / (2 * e)) < 1e-4);
        }
        // Along the ray: the direction of travel is against growing length.
        const double v = std::hypot(here.value[kRayVx], here.value[kRayVy]);
        CHECK(here.by_s[kRayX] == doctest::Approx(-here.value[kRayVx] / v));
        CHECK(here.by_s[kRayT] == doctest::Approx(1 / v));
    }
}

TEST_CASE("the error of the kernel falls with its tolerance") {
    const auto surface = test::wavy(5);
    const Batch fine = trace(surface, {0.3}, 1e-12);
    double before = 1;
    for (const double tolerance : {1e-4, 1e-6, 1e-8}) {
        const Batch batch = trace(surface, {0.3}, tolerance);
        const auto k = static_cast<std::size_t>(batch.lives[0].nodes - 1);
        const double error = std::abs(batch.rays[0][k].value[kRayX] - fine.rays[0][k].value[kRayX]) +
                             std::abs(batch.rays[0][k].value[kRayVy] - fine.rays[0][k].value[kRayVy]);
        CHECK(error < 100 * tolerance);
        CHECK(error <= before);
        before = error;
    }
}

TEST_CASE("a ray comes out the same to the bit alone, in company and on every vector target") {
    const SplineSurface surface = test::rough_spline(6);
    std::vector<double> angles;
    for (int k = 0; k < 13; ++k) angles.push_back(0.5 * k - 3);
    const Batch together = trace(surface, angles, 1e-6);
    for (const std::int64_t target : ray_kernel_targets()) {
        CAPTURE(ray_kernel_target_name(target));
        force_ray_kernel_target(target);
        for (std::size_t k = 0; k < angles.size(); ++k) {
            const Batch alone = trace(surface, {angles[k]}, 1e-6);
            REQUIRE(alone.lives[0].nodes == together.lives[k].nodes);
            CHECK(std::memcmp(alone.rays[0].data(), together.rays[k].data(),
                              sizeof(RayNode) * static_cast<std::size_t>(alone.lives[0].nodes)) == 0);
        }
        force_ray_kernel_target(0);
    }
}

TEST_CASE("a ray ends at the box, at its fastest node and where the speed falls to nothing") {
    const auto level = test::plane(0, 1, 0);
    const Batch flat = trace(level, {0.0}, 1e-8, 60);
    CHECK(flat.lives[0].nodes < static_cast<int>(flat.nodes.size()));
    CHECK(flat.lives[0].end == RayEnd::left_green);
    CHECK(flat.rays[0][static_cast<std::size_t>(flat.lives[0].nodes - 1)].value[kRayX] < -10);
    // Up a slope of 12 % that holds no ball, straight down to the hole: it came from rest.
    const auto steep = test::plane(0.12, 1, 0);
    const Batch still = trace(steep, {0.0}, 1e-8);
    CHECK(still.lives[0].end == RayEnd::no_putt);
    // And against it, uphill to the hole, it was sent ever faster: at 20 ft/s the ray is over.
    const auto cliff = test::plane(0.3, -1, 0);
    const Batch fast = trace(cliff, {0.0}, 1e-8, 60);
    CHECK(fast.lives[0].end == RayEnd::too_fast);
}
