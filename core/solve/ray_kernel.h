// Many rays run backwards from the hole side by side in the lanes of vector registers, each with its derivative by the
// ray's parameter. The only door to ray_kernel.cpp, which is compiled for several vector targets.
#pragma once

#include "core/solve/ray_family.h"
#include "core/terrain/spline_surface.h"

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace brae {

// The five quantities of a path backwards: position, forward horizontal velocity, time to the hole.
enum RayQuantity { kRayX, kRayY, kRayVx, kRayVy, kRayT, kRayQuantities };

// One node of a ray: each quantity with its derivative by the parameter, by the horizontal length s, and by both.
// That is all that a bicubic Hermite patch between two rays and two nodes asks for.
struct RayNode { double value[kRayQuantities], by_parameter[kRayQuantities], by_s[kRayQuantities], by_both[kRayQuantities]; };

// State at s = 0: the five quantities, then their derivatives by the parameter.
struct RayOrigin { double state[2 * kRayQuantities]; };

// What all rays of a batch share. Lengths and speeds in m and m/s.
struct RayTask {
    const SplineSurface* spline = nullptr;   // either this, by vector instructions,
    const HeightField* field = nullptr;      // or any other surface, one call a lane
    double level_decel = 0;
    double west = 0, south = 0, east = 0, north = 0;  // a ray ends at its first node outside
    const double* nodes = nullptr;           // values of s, rising, the first 0
    int node_count = 0;
    double tolerance = 1e-6;                 // local error of a step, m and m/s
    double fastest = 0;                      // a ray ends at its first node that is faster along the surface
};

// How far a ray came: its nodes and why it ended. `left_green` here means the box or the last node.
struct RayLife { int nodes = 0; RayEnd end = RayEnd::left_green; };

// Traces rays 0 .. count - 1; ray i writes its nodes from out[i], which has room for node_count of them. Steps are
// controlled lane by lane, so that a ray comes out the same, to the bit, in any company and on any vector target.
// Dormand-Prince 5(4) in s. Returns the number of steps tried, summed over vectors.
std::size_t trace_ray_batch(const RayTask& task, const RayOrigin* origins, std::size_t count, RayNode* const* out,
                            RayLife* lives);

// The vector targets that were compiled and that this machine can run; the best one is chosen at run time.
std::vector<std::int64_t> ray_kernel_targets();
std::string ray_kernel_target_name(std::int64_t target);
// For tests: only this target from now on; 0 sets the choice free again.
void force_ray_kernel_target(std::int64_t target);

}  // namespace brae
