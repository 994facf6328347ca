#include "core/solve/ray_family.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/roll/green_speed.h"
#include "core/solve/back_trace.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kFinestParameter = 4e-15;   // neighbours nearer than this cannot be told apart in double

struct Tracer {
    const HeightField& surface;
    const Outline& outline;
    Vec2 hole;
    double level_decel, hole_speed;
    const RayFamilyOptions& options;
    bool speeds;

    Ray operator()(double parameter, double s_end) const {
        Ray ray;
        ray.parameter = parameter;
        BackRun run;
        run.s_end = s_end;
        run.tolerance = options.tolerance;
        run.step_m = options.step_m;
        run.speeds = speeds;
        const BackStart start = back_start(surface, hole, level_decel, hole_speed, parameter);
        ray.end = trace_back(surface, &outline, start, level_decel, run, &ray.points).end;
        return ray;
    }
};

// Whether two neighbours lie too far apart somewhere that matters.
bool too_far_apart(const Ray& a, const Ray& b, double spacing, const Vec2* focus) {
    const std::size_t n = std::min(a.points.size(), b.points.size());
    for (std::size_t k = 1; k < n; ++k) {
        const double gap = distance(a.points[k].p, b.points[k].p);
        if (gap <= spacing) continue;
        if (!focus) return true;
        if (std::min(distance(a.points[k].p, *focus), distance(b.points[k].p, *focus)) < 1.5 * gap + spacing) return true;
    }
    return false;
}

}  // namespace

RayFamily trace_family(const HeightField& surface, const Outline& outline, Vec2 hole, double green_speed_ft,
                       double past_m, const RayFamilyOptions& options, const Vec2* focus, double s_end) {
    RayFamily family;
    family.hole = hole;
    family.green_speed_ft = green_speed_ft;
    family.past_m = past_m;
    const double level_decel = level_deceleration(green_speed_ft);
    const double hole_speed = speed_at_hole(past_m, green_speed_ft);
    const Tracer trace{surface, outline, hole, level_decel, hole_speed, options, focus == nullptr};

    // A ball that is to die at the hole must be able to.
    const BackStart start = back_start(surface, hole, level_decel, hole_speed, 0);
    if (start.dying && start.e >= 1) {
        const SurfaceJet jet = surface.jet(hole.x, hole.y);
        family.why_none = fmt::format("the hole is on a slope of {:.1f} %, where no ball stops at a green speed of {:.1f} ft",
                                      100 * std::hypot(jet.hx, jet.hy), green_speed_ft);
        return family;
    }

    // Even in the parameter first, then between neighbours that part.
    std::vector<Ray> even;
    for (int i = 0; i < options.first_rays; ++i) even.push_back(trace(2 * kPi * i / options.first_rays - kPi, s_end));
    int count = options.first_rays;
    std::vector<Ray> waiting;   // right-hand neighbours still to be joined, nearest last
    for (std::size_t i = 0; i < even.size(); ++i) {
        Ray right = even[(i + 1) % even.size()];
        if (i + 1 == even.size()) right.parameter += 2 * kPi;
        family.rays.push_back(even[i]);
        waiting.push_back(std::move(right));
        while (!waiting.empty()) {
            const Ray& left = family.rays.back();
            const double width = waiting.back().parameter - left.parameter;
            if (count < options.most_rays && width > kFinestParameter &&
                too_far_apart(left, waiting.back(), options.spacing_m, focus)) {
                waiting.push_back(trace(left.parameter + 0.5 * width, s_end));
                ++count;
                continue;
            }
            Ray joined = std::move(waiting.back());
            waiting.pop_back();
            if (!waiting.empty()) family.rays.push_back(std::move(joined));
        }
    }
    return family;
}

namespace {

void check(const Outline& outline, Vec2 hole, const RayFamilyOptions& options) {
    if (!std::isfinite(hole.x) || !std::isfinite(hole.y) || (!outline.empty() && !outline.contains(hole)))
        throw usage_error(fmt::format("the hole at {:.3f},{:.3f} is not on the green", hole.x, hole.y));
    if (outline.empty()) throw usage_error("rays need an outline to end at");
    if (options.first_rays < 8 || !(options.spacing_m > 0) || !(options.step_m > 0) || !(options.tolerance > 0) ||
        options.most_rays < options.first_rays)
        throw usage_error("the options of the ray family have no meaning; at least 8 rays and positive lengths are wanted");
}

}  // namespace

RayFamily trace_rays(const HeightField& surface, const Outline& outline, Vec2 hole, double green_speed_ft,
                     double past_m, const RayFamilyOptions& options) {
    check(outline, hole, options);
    return trace_family(surface, outline, hole, green_speed_ft, past_m, options, nullptr, 1e9);
}

Ray trace_ray(const HeightField& surface, const Outline& outline, Vec2 hole, double green_speed_ft, double past_m,
              double parameter, double s_end, const RayFamilyOptions& options) {
    const double level_decel = level_deceleration(green_speed_ft);
    const Tracer trace{surface, outline, hole, level_decel, speed_at_hole(past_m, green_speed_ft), options, true};
    return trace(parameter, s_end);
}

}  // namespace brae
