#include "core/solve/roll_batch.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/base/random.h"
#include "core/roll/green_speed.h"
#include "core/solve/ray_kernel.h"
#include "tests/support/grounds.h"

#include <cmath>
#include <vector>

using namespace brae;

namespace {

constexpr double kFeet = 10;

std::vector<BatchLaunch> drawn(std::uint64_t seed, std::size_t count, double half = 8, double fastest = 4) {
    Random random(seed);
    std::vector<BatchLaunch> out;
    for (std::size_t k = 0; k < count; ++k) {
        const double a = random.uniform(0, 2 * kPi);
        const Vec2 ball{random.uniform(-half, half), random.uniform(-half, half)};
        out.push_back({ball, {std::cos(a), std::sin(a)}, random.uniform(0.2, fastest)});
    }
    return out;
}

RollPath single(const HeightField& surface, const Outline& outline, const BatchLaunch& l) {
    return roll(surface, outline, l.ball, l.direction, l.speed_mps, kFeet);
}

}  // namespace

TEST_CASE("a batch ends as single rolls do, at the same place, on waves and rough splines") {
    const Outline green = test::wide_green();
    const auto wavy = test::wavy(3);
    const SplineSurface rough = test::rough_spline(3);
    for (const HeightField* surface : {static_cast<const HeightField*>(&wavy), static_cast<const HeightField*>(&rough)}) {
        const auto launches = drawn(5, 200);
        for (const auto& [tolerance, allowed] : {std::pair{1e-10, 2e-6}, std::pair{1e-5, 3e-3}}) {
            RollBatch batch(*surface, green, kFeet, tolerance);
            const auto& rests = batch.run(launches);
            int stopped = 0, left = 0;
            for (std::size_t k = 0; k < launches.size(); ++k) {
                const RollPath exact = single(*surface, green, launches[k]);
                REQUIRE(rests[k].end == exact.end);
                CHECK(distance(rests[k].at, exact.stop()) < allowed);
                CHECK(std::abs(rests[k].length_m - exact.length_m) < 2 * allowed);
                CHECK(std::abs(rests[k].time_s - exact.time_s) < 5 * allowed);
                stopped += exact.end == RollEnd::stopped;
                left += exact.end == RollEnd::left_green;
            }
            CHECK(stopped > 50);
            CHECK(left > 20);
        }
    }
}

TEST_CASE("a batch on a plane stops where the closed form says") {
    const double slope = 0.02;
    const auto plane = test::plane(slope, 1, 0);
    const double w = std::sqrt(1 + slope * slope), a = level_deceleration(kFeet);
    std::vector<BatchLaunch> launches;
    for (int k = 0; k < 16; ++k) launches.push_back({{0, 0}, {std::cos(0.4 * k), std::sin(0.4 * k)}, 1.0 + 0.1 * k});
    const Outline endless;
    RollBatch batch(plane, endless, kFeet, 1e-11);
    const auto& rests = batch.run(launches);
    // Which way is down is read off the ground itself.
    const SurfaceJet jet = plane.jet(0, 0);
    const Vec2 down = unit({-jet.hx, -jet.hy}), left{-down.y, down.x};
    for (std::size_t k = 0; k < launches.size(); ++k) {
        const Vec2 d = launches[k].direction;
        const double psi = std::atan2(dot(d, left), dot(d, down) * w);
        const PlaneStop exact = stop_on_plane(launches[k].speed_mps, psi, a / w, kRollFactor * kGravity * slope / w);
        CHECK(rests[k].end == RollEnd::stopped);
        CHECK(distance(rests[k].at, exact.x / w * down + exact.y * left) < 1e-7);
        CHECK(rests[k].time_s == doctest::Approx(exact.t).epsilon(1e-7));
    }
}

TEST_CASE("balls that the slope does not hold turn, leave or reach the time limit as single rolls do") {
    const auto steep = test::plane(0.12, 0, -1);
    const Outline green = test::wide_green();
    RollBatch batch(steep, green, kFeet, 1e-9);
    const std::vector<BatchLaunch> launches{{{0, 0}, {0, 1}, 2}, {{0, 0}, {0.3, 1}, 1}, {{1, 1}, {1, 0}, 0}, {{2, 0}, {0, -1}, 3}};
    const auto& rests = batch.run(launches);
    for (std::size_t k = 0; k < launches.size(); ++k) {
        const RollPath exact = single(steep, green, launches[k]);
        CHECK(rests[k].end == exact.end);
        CHECK(rests[k].end == RollEnd::left_green);
        CHECK(distance(rests[k].at, exact.stop()) < 1e-5);
    }
    CHECK(batch.handed_over() == launches.size());
    const Outline endless;
    RollBatch brief(steep, endless, kFeet, 1e-9, 1.5);
    for (const BatchRest& rest : brief.run(launches)) {
        CHECK(rest.end == RollEnd::rolling);
        CHECK(rest.time_s == doctest::Approx(1.5));
    }
}

TEST_CASE("a ball comes out the same to the bit alone, in company and on every vector target") {
    const SplineSurface rough = test::rough_spline(7);
    const Outline green = test::wide_green();
    const auto launches = drawn(9, 61);
    RollBatch batch(rough, green, kFeet, 1e-5);
    const std::vector<BatchRest> together = batch.run(launches);
    const auto same = [](const BatchRest& a, const BatchRest& b) {
        return a.end == b.end && a.at == b.at && a.length_m == b.length_m && a.time_s == b.time_s;
    };
    for (std::size_t k = 0; k < launches.size(); ++k) CHECK(same(batch.run({launches[k]})[0], together[k]));
    for (const std::int64_t target : ray_kernel_targets()) {
        CAPTURE(ray_kernel_target_name(target));
        force_ray_kernel_target(target);
        const std::vector<BatchRest> here = batch.run(launches);
        force_ray_kernel_target(0);
        for (std::size_t k = 0; k < launches.size(); ++k) CHECK(same(here[k], together[k]));
    }
}

TEST_CASE("a batch refuses what has no meaning and names the ball") {
    const auto level = test::plane(0, 1, 0);
    const Outline green = test::wide_green();
    RollBatch batch(level, green, kFeet);
    CHECK(batch.run({}).empty());
    for (const BatchLaunch& bad : {BatchLaunch{{0, 0}, {1, 0}, -1}, BatchLaunch{{0, 0}, {0, 0}, 1}, BatchLaunch{{50, 0}, {1, 0}, 1},
                                   BatchLaunch{{0, std::nan("")}, {1, 0}, 1}, BatchLaunch{{0, 0}, {1, 0}, 21}}) {
        CHECK_THROWS_WITH_AS(batch.run({{{0, 0}, {1, 0}, 1}, bad}), doctest::Contains("ball 1: "), Error);
    }
    CHECK_THROWS_AS(RollBatch(level, green, 2), Error);
    CHECK_THROWS_AS(RollBatch(level, green, kFeet, 0.0), Error);
}
