// What the comparisons share: the question, clocks, and how exact an answer is.
#pragma once

#include "core/base/progress.h"
#include "core/base/vec.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <vector>

namespace brae::bench {

inline constexpr double kFeet = 10, kPast = 0.3;

double seconds_of(const auto& work) {
    const auto began = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
}

// The least time of several tries: what the work takes when nothing else gets in its way.
double least_seconds(int tries, const auto& work) {
    double best = 1e9;
    for (int k = 0; k < tries; ++k) best = std::min(best, seconds_of(work));
    return best;
}

struct Answer { double aim = 0, launch = 0; bool solved = false; };

inline double aim_of(Vec2 ball, Vec2 hole, double angle) {
    const Vec2 line = unit(hole - ball), d{std::cos(angle), std::sin(angle)};
    return distance(ball, hole) * dot(d, right_of(line)) / dot(d, line);
}

inline double percentile99(std::vector<double> values) {
    if (values.empty()) return 1;
    std::sort(values.begin(), values.end());
    return values[static_cast<std::size_t>(0.99 * static_cast<double>(values.size() - 1))];
}

// 99th percentiles against the reference; at most 0.5 mm of aim and 0.5 mm/s of launch are wanted.
struct Accuracy { double aim = 0, launch = 0; int missing = 0; bool enough() const { return aim <= 5e-4 && launch <= 5e-4; } };

// Each returns whether it holds what is promised.
bool compare_whole_greens();
bool compare_one_read();
bool compare_roll_batch();
// Tells how near the ray kernel comes to what one core can do.
void tell_kernel_share();

}  // namespace brae::bench
