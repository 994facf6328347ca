#include "core/solve/putt.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"
#include "core/roll/skid.h"
#include "core/solve/aim_uncertainty.h"
#include "core/solve/back_trace.h"
#include "core/solve/holing_window.h"
#include "core/solve/polish.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

std::string to_text(AimSide side) {
    switch (side) {
        case AimSide::left: return "left";
        case AimSide::right: return "right";
        case AimSide::straight: break;
    }
    return "straight";
}

std::string to_text(PuttSide side) {
    switch (side) {
        case PuttSide::left_to_right: return "left-to-right";
        case PuttSide::right_to_left: return "right-to-left";
        case PuttSide::straight: break;
    }
    return "straight";
}

namespace {

constexpr double kStraight = 0.005;   // m of aim offset

void check(const Outline& outline, const PuttQuestion& q) {
    const auto on_green = [&](Vec2 p, const char* what) {
        if (!std::isfinite(p.x) || !std::isfinite(p.y) || !outline.contains(p))
            throw usage_error(fmt::format("the {} at {:.3f},{:.3f} is not on the green", what, p.x, p.y));
    };
    on_green(q.ball, "ball");
    on_green(q.hole, "hole");
    if (distance(q.ball, q.hole) < kHoleRadius)
        throw usage_error(fmt::format("the ball is {:.3f} m from the hole's centre; at least {:.3f} m are wanted",
                                      distance(q.ball, q.hole), kHoleRadius));
    if (!(q.past_m >= 0 && q.past_m <= 5))
        throw usage_error(fmt::format("the pace is {} m past the hole; 0 to 5 m are wanted", q.past_m));
    level_deceleration(q.green_speed_ft);
}

// Starts beside rays that went on where their neighbour ended: no quad covers the sliver between.
std::vector<RayHit> sliver_starts(const RayFamily& family, Vec2 ball) {
    std::vector<RayHit> out;
    const std::size_t n = family.rays.size();
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t j : {i + 1 == n ? 0 : i + 1, i == 0 ? n - 1 : i - 1}) {
            const auto &mine = family.rays[i].points, &other = family.rays[j].points;
            if (mine.size() < other.size() + 2 || other.empty()) continue;
            // The nearest point of the part that has no neighbour, if it is near.
            double least = 0.6;
            const RayPoint* best = nullptr;
            for (std::size_t k = other.size() - 1; k < mine.size(); ++k)
                if (const double d = distance(mine[k].p, ball); d < least) {
                    least = d;
                    best = &mine[k];
                }
            if (best) out.push_back({family.rays[i].parameter, best->s});
        }
    return out;
}

// Why no ray reaches the spot: by how the rays end that come nearest to it.
std::string reason(const RayFamily& family, const PuttQuestion& q, bool left, bool fast) {
    const std::string over = fmt::format("from there the putt would have to start at over {:g} m/s", kFastestLaunchMps);
    const std::string leaves = "every path from there to the hole at this pace leaves the green";
    if (left) return leaves;
    if (fast) return over;
    const Ray* nearest = nullptr;
    double least = 1e300;
    for (const Ray& ray : family.rays)
        for (const RayPoint& p : ray.points)
            if (const double d = distance(p.p, q.ball); d < least) {
                least = d;
                nearest = &ray;
            }
    if (!nearest) return "no path reaches the hole from there";
    switch (nearest->end) {
        case RayEnd::no_putt:
            return "at this pace no ball from there can reach the hole: the slope alone brings it there faster";
        case RayEnd::airborne:
            return "on every path from there to the hole the ground falls away from under the ball";
        case RayEnd::too_fast: return over;
        case RayEnd::left_green: break;
    }
    return leaves;
}

class Solver {
public:
    Solver(const HeightField& surface, const Outline& outline, const PuttQuestion& q, const PuttOptions& options)
        : q_(q), options_(options),
          ground_{surface, outline, q.ball, q.hole, level_deceleration(q.green_speed_ft),
                  speed_at_hole(q.past_m, q.green_speed_ft)} {
        if (ground_.hole_speed < kTangentSpeed) ground_.hole_speed = 0;
    }

    PuttAnswer solve() {
        PuttAnswer answer;
        answer.capture = options_.capture;
        // A coarse family, fine only round the ball, gives the starts; each is then made exact.
        RayFamilyOptions coarse;
        coarse.tolerance = 1e-5;
        coarse.first_rays = 72;
        const RayFamily family = trace_family(ground_.surface, ground_.outline, q_.hole, q_.green_speed_ft, q_.past_m,
                                              coarse, &q_.ball, 1e9);
        if (!family.why_none.empty()) {
            answer.why_none = family.why_none;
            return answer;
        }
        const std::vector<RayHit> starts = hits_at(family, q_.ball), slivers = sliver_starts(family, q_.ball);

        bool left = false, fast = false;
        std::vector<Found> found;
        for (const RayHit& start : starts) take(start, true, found, left, fast);
        for (const RayHit& start : slivers) take(start, false, found, left, fast);
        std::sort(found.begin(), found.end(), [](const Found& a, const Found& b) { return a.launch.speed < b.launch.speed; });
        for (const Found& f : found) answer.solutions.push_back(read(f));
        if (answer.solutions.empty()) answer.why_none = reason(family, q_, left, fast);
        return answer;
    }

private:
    struct Found { Launch launch; RayHit ray; double rolling_time = 0; };

    // Makes a start exact and keeps it when it is new, stays on the green and is a putt.
    void take(const RayHit& start, bool in_quad, std::vector<Found>& found, bool& left, bool& fast) {
        const std::optional<BackSolution> back = polish_backward(ground_, start);
        Launch launch;
        if (back) {
            const RayPoint& p = back->at_ball;
            launch = {std::atan2(p.v.y, p.v.x), p.speed};
        } else if (!in_quad) {
            return;
        } else {
            // Rays that bunch: forwards the same solution is well told.
            BackRun run;
            run.s_end = start.s;
            run.tolerance = 1e-7;
            const BackOutcome rough = trace_back(
                ground_.surface, nullptr,
                back_start(ground_.surface, q_.hole, ground_.level_decel, ground_.hole_speed, start.parameter),
                ground_.level_decel, run, nullptr);
            if (!rough.reached) return;
            const auto forward = polish_forward(ground_, {std::atan2(rough.last.v.y, rough.last.v.x), rough.last.speed}, 1e-11);
            if (!forward) return;
            launch = *forward;
        }
        for (const Found& f : found)
            if (std::abs(wrapped(f.launch.angle - launch.angle)) < 1e-5 && std::abs(f.launch.speed - launch.speed) < 1e-5)
                return;
        if (launch.speed > kFastestLaunchMps) {
            fast = true;
            return;
        }
        // Rolled forward on the green it must come to the hole.
        const RollOutcome out = forward(launch, 0, nullptr);
        if (out.end == RollEnd::left_green || !out.pass || std::abs(out.pass->offset_m) > 1e-4) {
            left = left || out.end == RollEnd::left_green;
            return;
        }
        found.push_back({launch, back ? RayHit{back->parameter, back->at_ball.s} : start, out.pass->t});
    }

    RollOutcome forward(Launch launch, double sample_step, std::vector<RollSample>* samples) const {
        RollRun run;
        run.hole = q_.hole;
        run.covered = true;
        run.tolerance = 1e-11;
        run.sample_step_m = sample_step;
        run.end_at_pass_m = ground_.hole_speed > 0 ? 0.005 : 0;
        const Vec2 direction{std::cos(launch.angle), std::sin(launch.angle)};
        const SurfaceJet jet = ground_.surface.jet(q_.ball.x, q_.ball.y);
        return run_roll(ground_.surface, ground_.outline, {q_.ball, horizontal_velocity(jet, direction, launch.speed)},
                        ground_.level_decel, run, samples);
    }

    PuttRead read(const Found& found) const {
        PuttRead out;
        const Launch launch = found.launch;
        const Vec2 line = unit(q_.hole - q_.ball);
        out.direction = {std::cos(launch.angle), std::sin(launch.angle)};
        out.launch_mps = launch.speed;
        out.ball_speed_mps = ball_speed_for_launch(launch.speed, q_.green_speed_ft);
        out.aim_bearing_deg = bearing_deg(out.direction);
        out.hole_speed_mps = ground_.hole_speed;

        // Where the start line crosses the line through the hole square to the putt.
        const double ahead = dot(out.direction, line), right = dot(out.direction, right_of(line));
        const double away = distance(q_.ball, q_.hole);
        if (ahead > 1e-9) out.aim_offset_m = away * right / ahead;
        const double offset = out.aim_offset_m.value_or(right > 0 ? 1.0 : -1.0);
        if (std::abs(offset) >= kStraight) {
            out.aim_side = offset > 0 ? AimSide::right : AimSide::left;
            out.side = offset > 0 ? PuttSide::right_to_left : PuttSide::left_to_right;
        }

        // The way to the hole, and on over it had it been covered.
        RollPath& path = out.path;
        const RollOutcome to_hole = forward(launch, options_.path ? 0.05 : 0, &path.samples);
        path.end = to_hole.end;
        path.length_m = out.length_m = to_hole.length_m;
        path.time_s = out.time_s = to_hole.time_s;
        path.pass = to_hole.pass;
        out.entry_bearing_deg = bearing_deg(to_hole.pass->direction);
        if (ground_.hole_speed == 0) {
            out.past_on_slope_m = 0.0;
        } else {
            RollRun run;
            run.tolerance = 1e-9;
            const RollOutcome on = run_roll(ground_.surface, ground_.outline, to_hole.at, ground_.level_decel, run, nullptr);
            if (on.end == RollEnd::stopped) out.past_on_slope_m = on.length_m;
        }

        if (options_.window) out.has_window = holing_window(ground_, launch, out.window, options_.capture);
        if (out.aim_offset_m) add_errors(found, ahead, out);
        return out;
    }

    // Survey and green speed, each as standard error of the aim offset, which are independent; pace by itself.
    void add_errors(const Found& found, double ahead, PuttRead& out) const {
        const double away = distance(q_.ball, q_.hole);
        if (options_.error)
            out.survey_se_m = away / (ahead * ahead) * direction_se(ground_, found.launch, found.rolling_time, *options_.error);
        // The same putt on a green a little slower and a little faster, and at another pace.
        const auto angle_at = [&](double speed_ft, double past_m) -> std::optional<double> {
            PuttGround other = ground_;
            other.level_decel = level_deceleration(speed_ft);
            other.hole_speed = speed_at_hole(past_m, speed_ft);
            if (other.hole_speed < kTangentSpeed) other.hole_speed = 0;
            const double scale = std::sqrt(other.level_decel / ground_.level_decel);
            const double more = other.hole_speed * other.hole_speed - scale * scale * ground_.hole_speed * ground_.hole_speed;
            const double start = std::sqrt(std::max(0.01, scale * scale * found.launch.speed * found.launch.speed + more));
            const auto launch = polish_forward(other, {found.launch.angle, start}, 1e-9);
            if (launch) return launch->angle;
            const auto back = polish_backward(other, found.ray);
            if (!back) return std::nullopt;
            return std::atan2(back->at_ball.v.y, back->at_ball.v.x);
        };
        const double aim_by_angle = away / (ahead * ahead);
        if (options_.green_speed_sigma_ft > 0) {
            const double low = std::max(kSlowestGreenFt, q_.green_speed_ft - 0.05);
            const double high = std::min(kFastestGreenFt, q_.green_speed_ft + 0.05);
            const auto a = angle_at(low, q_.past_m), b = angle_at(high, q_.past_m);
            if (a && b) out.speed_se_m = options_.green_speed_sigma_ft * aim_by_angle * std::abs(wrapped(*b - *a)) / (high - low);
        }
        if (options_.pace_sigma_m > 0) {
            // Slower than no pace there is none: one-sided there.
            const double low = std::max(0.0, q_.past_m - 0.02), high = q_.past_m + 0.02;
            const auto a = angle_at(q_.green_speed_ft, low), b = angle_at(q_.green_speed_ft, high);
            if (a && b) out.pace_se_m = options_.pace_sigma_m * aim_by_angle * std::abs(wrapped(*b - *a)) / (high - low);
        }
        out.aim_offset_se_m = std::hypot(out.survey_se_m, out.speed_se_m);
    }

    PuttQuestion q_;
    const PuttOptions& options_;
    PuttGround ground_;
};

}  // namespace

PuttAnswer solve_putt(const HeightField& surface, const Outline& outline, const PuttQuestion& question,
                      const PuttOptions& options) {
    check(outline, question);
    return Solver(surface, outline, question, options).solve();
}

}  // namespace brae
