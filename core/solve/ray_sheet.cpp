#include "core/solve/ray_sheet.h"

#include "core/base/constants.h"
#include "core/roll/plane_motion.h"
#include "core/solve/back_trace.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

constexpr std::size_t kGroup = 8;               // rays traced together; a whole number of vectors on every target
constexpr double kBeyond = 1.0;                 // m outside the box at which rays end
constexpr double kFinestParameter = 1e-13;
constexpr double kSliver = 0.02;                // m; a strip so narrow may end where one of its rays does
constexpr double kWidestGap = 3.0;              // m between neighbours that a patch may bridge

// Origin of the ray and its derivative by the parameter, by differences of a function that is smooth and exact.
RayOrigin origin_of(const HeightField& surface, Vec2 hole, double level_decel, double hole_speed, double parameter) {
    const auto at = [&](double p) {
        const BackStart b = back_start(surface, hole, level_decel, hole_speed, p);
        return std::array<double, kRayQuantities>{b.state.p.x, b.state.p.y, b.state.v.x, b.state.v.y, b.t};
    };
    constexpr double e = 1e-3;   // fourth-order differences: an error of 1e-13
    const auto here = at(parameter), a = at(parameter - e), b = at(parameter + e), c = at(parameter - 2 * e), d = at(parameter + 2 * e);
    RayOrigin out;
    for (int k = 0; k < kRayQuantities; ++k) {
        out.state[k] = here[k];
        out.state[kRayQuantities + k] = (8 * (b[k] - a[k]) - (d[k] - c[k])) / (12 * e);
    }
    return out;
}

// First node at which the ray between two others is missed by what their patches say there, or the largest int.
int first_missed(const SheetRay& a, const SheetRay& m, const SheetRay& b, double width, Vec2 hole, const EdgeField& edge,
                 double wanted) {
    const int common = std::min({a.life.nodes, m.life.nodes, b.life.nodes});
    const double eighth = width / 8;
    const auto place = [](const RayNode& n) { return Vec2{n.value[kRayX], n.value[kRayY]}; };
    for (int k = 1; k < common; ++k) {
        const RayNode &na = a.nodes[k], &nb = b.nodes[k], &nm = m.nodes[k];
        if (edge.clearance(place(nm)) < -0.5 && edge.clearance(place(na)) < -0.5 && edge.clearance(place(nb)) < -0.5) continue;
        double miss[4];
        for (int c = 0; c < 4; ++c)
            miss[c] = std::abs(0.5 * (na.value[c] + nb.value[c]) + eighth * (na.by_parameter[c] - nb.by_parameter[c]) - nm.value[c]);
        const double v = std::sqrt(nm.value[kRayVx] * nm.value[kRayVx] + nm.value[kRayVy] * nm.value[kRayVy]);
        const double turn = (miss[kRayVx] + miss[kRayVy]) / v, away = distance(place(nm), hole);
        // As aim offset; and neither so far apart nor so turned that the agreement could be chance.
        if (!(away * turn + 3 * (miss[kRayX] + miss[kRayY]) <= wanted) || !(miss[kRayVx] + miss[kRayVy] <= wanted)) return k;
        if (distance(place(na), place(nb)) > kWidestGap) return k;
    }
    // One that ended on the green while another goes on leaves a sliver without patches.
    const int longest = std::max({a.life.nodes, m.life.nodes, b.life.nodes});
    if (longest > common + 1 && common > 0 && edge.clearance(place(m.nodes[common - 1])) > -0.5 &&
        distance(place(a.nodes[common - 1]), place(b.nodes[common - 1])) > kSliver)
        return common - 1;
    return std::numeric_limits<int>::max();
}

// Nodes: short where the ball is slow, since there the path bends most. `halves`: with one in the middle of each step.
void lay_nodes(std::vector<double>& nodes, double longest_step, double scale, double length, bool halves) {
    nodes.assign(1, 0.0);
    while (nodes.back() < length) {
        const double from = nodes.back(), step = std::min(longest_step, 0.3 * (from + scale));
        if (halves) nodes.push_back(from + 0.5 * step);
        nodes.push_back(from + step);
    }
}

// Largest error, as aim offset, of cubics over two steps of a ray against the node between them.
double worst_cubic(const RayNode* ray, const RayLife& life, const std::vector<double>& nodes, Vec2 hole, const EdgeField& edge) {
    double worst = 0;
    for (int k = 2; k < life.nodes; k += 2) {
        const RayNode &a = ray[k - 2], &m = ray[k - 1], &b = ray[k];
        const Vec2 p{m.value[kRayX], m.value[kRayY]};
        if (edge.clearance(p) < 0) continue;
        const double eighth = (nodes[static_cast<std::size_t>(k)] - nodes[static_cast<std::size_t>(k) - 2]) / 8;
        const auto miss = [&](int c) { return 0.5 * (a.value[c] + b.value[c]) + eighth * (a.by_s[c] - b.by_s[c]) - m.value[c]; };
        const double v = std::hypot(m.value[kRayVx], m.value[kRayVy]);
        const double off = std::hypot(miss(kRayVx), miss(kRayVy));
        worst = std::max({worst, off, off / v * distance(p, hole), std::hypot(miss(kRayX), miss(kRayY))});
    }
    return worst;
}

}  // namespace

RayNode* RaySheet::room(std::size_t ray) {
    const std::size_t slab = ray / kGroup;
    while (slabs_.size() <= slab) slabs_.emplace_back(new RayNode[slab_nodes_ * kGroup]);
    return slabs_[slab].get() + (ray % kGroup) * slab_nodes_;
}

void RaySheet::trace(const Ground& ground, Vec2 hole, double level_decel, double hole_speed, const SheetOptions& options,
                     Progress& progress) {
    rays_.clear();
    strips_.clear();
    why_none_.clear();
    steps_ = 0;

    // A ball that is to die at the hole must be able to.
    const BackStart start = back_start(ground.surface, hole, level_decel, hole_speed, 0);
    dying_ = start.dying;
    if (dying_ && start.e >= 1) {
        const SurfaceJet jet = ground.surface.jet(hole.x, hole.y);
        why_none_ = fmt::format("the hole is on a slope of {:.1f} %, where no ball stops at this green speed",
                                100 * std::hypot(jet.hx, jet.hy));
        return;
    }

    const double v0 = norm(start.state.v), scale = v0 * v0 / (2 * level_decel);
    const double longest = 3 * std::hypot(ground.box.width(), ground.box.height()) + 2 * kBeyond;
    RayTask task;
    task.spline = dynamic_cast<const SplineSurface*>(&ground.surface);
    task.field = &ground.surface;
    task.level_decel = level_decel;
    task.west = ground.box.x0 - kBeyond;
    task.south = ground.box.y0 - kBeyond;
    task.east = ground.box.x1 + kBeyond;
    task.north = ground.box.y1 + kBeyond;
    task.tolerance = options.tolerance;
    task.fastest = kFastestLaunchMps;

    // The longest step whose cubics serve a few probes; ground with short waves asks for shorter ones.
    const auto lay = [&](bool halves) {
        lay_nodes(nodes_, longest_step_m_, scale, longest, halves);
        if (nodes_.size() > slab_nodes_) {
            slabs_.clear();
            slab_nodes_ = nodes_.size();
        }
        task.nodes = nodes_.data();
        task.node_count = static_cast<int>(nodes_.size());
    };
    longest_step_m_ = options.longest_step_m;
    for (int halved = 0; halved < 2; ++halved, longest_step_m_ *= 0.5) {
        lay(true);
        RayOrigin origins[kGroup];
        RayLife lives[kGroup];
        RayNode* rooms[kGroup];
        for (std::size_t k = 0; k < kGroup; ++k) {
            origins[k] = origin_of(ground.surface, hole, level_decel, hole_speed, 2 * kPi * static_cast<double>(k) / kGroup + 0.1);
            rooms[k] = room(k);
        }
        steps_ += trace_ray_batch(task, origins, kGroup, rooms, lives);
        double worst = 0;
        for (std::size_t k = 0; k < kGroup; ++k) worst = std::max(worst, worst_cubic(rooms[k], lives[k], nodes_, hole, ground.edge));
        if (worst <= options.probe_m) break;
    }
    lay(false);

    // Traces new rays, a group at a time; what is done to each depends on that ray alone.
    std::size_t made = 0;
    std::vector<std::size_t> group_steps;
    const auto trace_all = [&](std::vector<SheetRay>& fresh) {
        std::vector<RayNode*> rooms;
        for (std::size_t k = 0; k < fresh.size(); ++k) {
            rooms.push_back(room(made++));
            fresh[k].nodes = rooms.back();
        }
        const std::size_t groups = (fresh.size() + kGroup - 1) / kGroup;
        group_steps.assign(groups, 0);
        tbb::parallel_for(std::size_t{0}, groups, [&](std::size_t g) {
            if (progress.cancelled()) return;
            const std::size_t from = g * kGroup, count = std::min(kGroup, fresh.size() - from);
            RayOrigin origins[kGroup];
            RayLife lives[kGroup];
            for (std::size_t k = 0; k < count; ++k)
                origins[k] = origin_of(ground.surface, hole, level_decel, hole_speed, fresh[from + k].parameter);
            group_steps[g] = trace_ray_batch(task, origins, count, rooms.data() + from, lives);
            for (std::size_t k = 0; k < count; ++k) fresh[from + k].life = lives[k];
        });
        for (const std::size_t n : group_steps) steps_ += n;
        progress.step(0.1, "rays from the hole");
    };

    for (int k = 0; k < options.first_rays; ++k) rays_.push_back({2 * kPi * k / options.first_rays - kPi, nullptr, {}});
    trace_all(rays_);
    strips_.assign(rays_.size(), {2 * kPi / options.first_rays, 0});

    // Halves strips until the ray in the middle of each is where its neighbours' patches say.
    while (true) {
        std::vector<std::size_t> open;
        for (std::size_t k = 0; k < strips_.size(); ++k)
            if (strips_[k].rough_from != std::numeric_limits<int>::max() && strips_[k].width > kFinestParameter &&
                rays_.size() + open.size() < static_cast<std::size_t>(options.most_rays))
                open.push_back(k);
        if (open.empty()) break;
        std::vector<SheetRay> fresh;
        for (const std::size_t k : open) fresh.push_back({rays_[k].parameter + 0.5 * strips_[k].width, nullptr, {}});
        trace_all(fresh);

        std::vector<int> missed(open.size());
        tbb::parallel_for(std::size_t{0}, open.size(), [&](std::size_t n) {
            const std::size_t k = open[n];
            missed[n] = first_missed(rays_[k], fresh[n], rays_[(k + 1) % rays_.size()], strips_[k].width, hole, ground.edge,
                                     options.check_m);
        });
        std::vector<SheetRay> rays;
        std::vector<SheetStrip> strips;
        for (std::size_t k = 0, n = 0; k < rays_.size(); ++k) {
            rays.push_back(rays_[k]);
            if (n < open.size() && open[n] == k) {
                const SheetStrip half{0.5 * strips_[k].width, missed[n]};
                strips.push_back(half);
                strips.push_back(half);
                rays.push_back(fresh[n++]);
            } else {
                strips.push_back(strips_[k]);
            }
        }
        rays_.swap(rays);
        strips_.swap(strips);
    }
}

}  // namespace brae
