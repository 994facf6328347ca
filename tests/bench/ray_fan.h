// Sixty-four rays all round from the hole over 10 m of long waves: what the ray kernel is timed on.
#pragma once

#include "core/base/constants.h"
#include "core/roll/green_speed.h"
#include "core/solve/ray_kernel.h"
#include "tests/bench/common.h"
#include "tests/bench/ground.h"

#include <cmath>
#include <vector>

namespace brae::bench {

class RayFan {
public:
    static constexpr std::size_t kRays = 64;
    explicit RayFan(Vec2 hole) : room_(kRays * kNodes), rooms_(kRays), origins_(kRays), lives_(kRays) {
        for (std::size_t k = 0; k < kNodes; ++k) nodes_.push_back(0.25 * static_cast<double>(k));
        task_.spline = &surface_;
        task_.level_decel = level_deceleration(kFeet);
        task_.west = task_.south = -15;
        task_.east = task_.north = 15;
        task_.nodes = nodes_.data();
        task_.node_count = static_cast<int>(kNodes);
        task_.tolerance = 1e-5;
        task_.fastest = 6;
        const double v = speed_at_hole(kPast, kFeet);
        for (std::size_t k = 0; k < kRays; ++k) {
            const double a = 2 * kPi * static_cast<double>(k) / kRays, c = std::cos(a), s = std::sin(a);
            origins_[k] = {{hole.x, hole.y, v * c, v * s, 0, 0, 0, -v * s, v * c, 0}};
            rooms_[k] = room_.data() + k * kNodes;
        }
    }
    RayFan(const RayFan&) = delete;
    RayFan& operator=(const RayFan&) = delete;

    // Intervals between nodes along one ray.
    static constexpr std::size_t intervals() { return kNodes - 1; }
    // Steps tried, summed over vectors.
    std::size_t trace() { return trace_ray_batch(task_, origins_.data(), kRays, rooms_.data(), lives_.data()); }

private:
    static constexpr std::size_t kNodes = 40;
    const SplineSurface surface_ = ground(1, 0);
    std::vector<double> nodes_;
    RayTask task_;
    std::vector<RayNode> room_;
    std::vector<RayNode*> rooms_;
    std::vector<RayOrigin> origins_;
    std::vector<RayLife> lives_;
};

}  // namespace brae::bench
