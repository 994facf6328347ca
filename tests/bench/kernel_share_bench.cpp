// How near the ray kernel comes to what one core can do. The peaks are measured in the same run, on the same vector target,
// with loops of independent operations and without fused multiply-add, which the kernels do not use either.
// Compiled once for every vector target.
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "tests/bench/kernel_share_bench.cpp"
#include <hwy/foreach_target.h>  // must stand before highway.h
#include <hwy/highway.h>

#include <cstddef>

HWY_BEFORE_NAMESPACE();
namespace brae::bench::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;
using D = hn::ScalableTag<double>;
using V = hn::Vec<D>;

std::size_t lanes() { return hn::Lanes(D()); }

// `rounds` times 16 operations a lane, half of them adds and half multiplies, in eight chains that do not wait for one another.
double adds_and_multiplies(std::size_t rounds) {
    const D d;
    V a[8];
    for (int k = 0; k < 8; ++k) a[k] = hn::Set(d, 1 + 0.01 * k);
    const V m = hn::Set(d, 0.999999), c = hn::Set(d, 1e-6);
    for (std::size_t n = 0; n < rounds; ++n)
        for (int k = 0; k < 8; ++k) a[k] = hn::Add(hn::Mul(a[k], m), c);
    V sum = a[0];
    for (int k = 1; k < 8; ++k) sum = hn::Add(sum, a[k]);
    return hn::GetLane(sum);
}

// `rounds` times four divisions and four square roots a lane.
double divisions_and_roots(std::size_t rounds) {
    const D d;
    V a[4];
    for (int k = 0; k < 4; ++k) a[k] = hn::Set(d, 2 + 0.1 * k);
    const V c = hn::Set(d, 3.1);
    for (std::size_t n = 0; n < rounds; ++n)
        for (int k = 0; k < 4; ++k) a[k] = hn::Sqrt(hn::Div(c, a[k]));
    V sum = a[0];
    for (int k = 1; k < 4; ++k) sum = hn::Add(sum, a[k]);
    return hn::GetLane(sum);
}

}  // namespace brae::bench::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
#include "tests/bench/ray_fan.h"

#include <algorithm>
#include <benchmark/benchmark.h>
#include <cstdio>

namespace brae::bench {

HWY_EXPORT(lanes);
HWY_EXPORT(adds_and_multiplies);
HWY_EXPORT(divisions_and_roots);

// Operations of one evaluation a lane, counted in the code by hand: the ground's nine derivatives 265 (ground_lanes.h), the motion and
// its derivative 127 (rate() in ray_kernel.cpp), a sixth of a step's sums 86; three divisions and three roots among them.
constexpr double kOperations = 478, kDivisionsAndRoots = 6;

void tell_kernel_share() {
    constexpr std::size_t rounds = 2'000'000;
    const double width = static_cast<double>(HWY_DYNAMIC_DISPATCH(lanes)());
    const double simple = least_seconds(5, [] { benchmark::DoNotOptimize(HWY_DYNAMIC_DISPATCH(adds_and_multiplies)(rounds)); });
    const double peak = 16 * width * rounds / simple;   // operations a second on one core
    const double hard = least_seconds(5, [] { benchmark::DoNotOptimize(HWY_DYNAMIC_DISPATCH(divisions_and_roots)(rounds / 8)); });
    const double each = hard / (8.0 * rounds / 8);      // seconds of one vector's division or root

    RayFan fan({1.3, 0.7});
    std::size_t steps = 0;
    const double traced = least_seconds(50, [&] { steps = fan.trace(); });
    const double evaluation = traced / (6.0 * static_cast<double>(steps));   // of one vector
    std::printf("\nThe ray kernel, %.0f lanes: %.1f ns an evaluation of a vector, %.1f ns a lane\n", width, 1e9 * evaluation, 1e9 * evaluation / width);
    std::printf("  %.0f operations a lane: %.1f of the %.1f thousand million a second that one core adds and multiplies here, %.0f %%\n", kOperations,
                1e-9 * kOperations * width / evaluation, 1e-9 * peak, 100 * kOperations * width / evaluation / peak);
    std::printf("  its divisions and roots alone take %.0f %% of that time, so that %.0f %% is the most it could reach\n",
                100 * kDivisionsAndRoots * each / evaluation,
                100 * kOperations * width / peak / std::max(kOperations * width / peak, kDivisionsAndRoots * each));
}

}  // namespace brae::bench
#endif
