// The sheet that all balls which reach the hole at one pace lie on: rays with their derivatives by the parameter on
// common nodes of length, so that between two rays and two nodes a bicubic Hermite patch gives every path.
#pragma once

#include "core/base/progress.h"
#include "core/solve/edge_field.h"
#include "core/solve/ray_kernel.h"

#include <limits>
#include <memory>
#include <string>
#include <vector>

namespace brae {

struct SheetOptions {
    int first_rays = 32;
    int most_rays = 4000;
    double longest_step_m = 0.5;     // between nodes; halved, at most twice, where probes show that it is too long
    double probe_m = 2e-4;           // what a step may cost, as aim offset
    double tolerance = 1e-5;         // local error of a step, m and m/s
    double check_m = 3e-3;           // a ray is put between two where their patches miss it by more, as aim offset
};

struct SheetRay {
    double parameter = 0;            // as Ray::parameter
    const RayNode* nodes = nullptr;
    RayLife life;
};

// Between ray k and the next one (the last neighbours the first).
struct SheetStrip {
    double width = 0;                // of the parameter
    int rough_from = std::numeric_limits<int>::max();  // patches from this node on were not proved good
};

// Reuses its memory from one trace to the next.
class RaySheet {
public:
    struct Ground {
        const HeightField& surface;
        const EdgeField& edge;
        Box box;                     // rays go on to a metre beyond it
    };
    // Empty with a reason where no ball stops at the hole. The bits of the result depend on nothing but the arguments.
    void trace(const Ground& ground, Vec2 hole, double level_decel, double hole_speed, const SheetOptions& options,
               Progress& progress);

    const std::vector<double>& nodes() const { return nodes_; }
    const std::vector<SheetRay>& rays() const { return rays_; }
    const std::vector<SheetStrip>& strips() const { return strips_; }
    double longest_step_m() const { return longest_step_m_; }   // the one that was taken
    const std::string& why_none() const { return why_none_; }
    std::size_t steps() const { return steps_; }     // vectors of steps tried
    bool dying() const { return dying_; }

private:
    RayNode* room(std::size_t ray);

    std::vector<double> nodes_;
    std::vector<SheetRay> rays_;
    std::vector<SheetStrip> strips_;
    std::string why_none_;
    std::size_t steps_ = 0, slab_nodes_ = 0;
    double longest_step_m_ = 0;
    bool dying_ = false;
    std::vector<std::unique_ptr<RayNode[]>> slabs_;
};

}  // namespace brae
