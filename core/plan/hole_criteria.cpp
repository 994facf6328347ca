#include "core/plan/hole_criteria.h"

#include "core/base/units.h"
#include "core/roll/capture.h"
#include "core/roll/green_speed.h"
#include "core/roll/rolling.h"
#include "core/solve/back_trace.h"
#include "core/solve/holing_window.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace brae {

namespace {

// Points of the unit disc: a lattice of a sixth of the radius, and the rim every 15 degrees.
const std::vector<Vec2>& unit_disc() {
    static const std::vector<Vec2> points = [] {
        std::vector<Vec2> out;
        for (int j = -6; j <= 6; ++j)
            for (int i = -6; i <= 6; ++i)
                if (i * i + j * j < 36) out.push_back({i / 6.0, j / 6.0});
        for (int k = 0; k < 24; ++k) out.push_back(direction_of_bearing(15.0 * k));
        return out;
    }();
    return points;
}

// A slope up to this is not counted against a place: it drains, and putts break little (common practice).
constexpr double kComfortableSlope = 0.01;
// Length of the putts whose holing window is looked at.
constexpr double kWindowPuttM = 1.5;

// Widest offset at which a hole on level ground takes a ball that passes at this speed.
double level_half_width(CaptureModel model, double speed_mps, double level_decel) {
    const auto taken = [&](double offset) { return capture(model, {offset, speed_mps, 0, 0, level_decel}) == Capture::drops; };
    double low = 0, high = kHoleRadius;
    if (!taken(low)) return 0;
    for (int i = 0; i < 50; ++i) {
        const double mid = (low + high) / 2;
        (taken(mid) ? low : high) = mid;
    }
    return low;
}

}  // namespace

GroundRound ground_round(const TerrainModel& terrain, Vec2 p, double radius_m) {
    // Gradients inside the green; the fitted surface means nothing beyond its edge.
    const bool clear = terrain.outline.signed_distance(p) > radius_m;
    std::vector<Vec2> gradients;
    gradients.reserve(unit_disc().size());
    GroundRound ground;
    Vec2 sum;
    for (Vec2 d : unit_disc()) {
        const Vec2 q = p + radius_m * d;
        if (!clear && !terrain.outline.contains(q)) continue;
        const SurfaceJet j = terrain.surface->jet(q.x, q.y);
        const Vec2 g{j.hx, j.hy};
        gradients.push_back(g);
        sum = sum + g;
        ground.slope += norm(g);
        ground.steepest = std::max(ground.steepest, norm(g));
    }
    if (gradients.empty()) return ground;

    // The vector's departure, so that a ridge or a valley counts although the slope is the same on both of its sides.
    const double count = static_cast<double>(gradients.size());
    const Vec2 mean = sum / count;
    ground.slope /= count;
    for (Vec2 g : gradients) ground.change = std::max(ground.change, norm(g - mean));
    ground.downhill = norm(mean) > 1e-9 ? -unit(mean) : Vec2{0, -1};
    return ground;
}

double roll_ratio(double slope, double green_speed_ft) {
    return kRollFactor * kGravity * slope / level_deceleration(green_speed_ft);
}

double allowed_slope(double green_speed_ft, const HoleLimits& limits) {
    return std::min(limits.slope_ceiling, limits.slope_times_speed / green_speed_ft);
}

double slope_standard_error(const ErrorModel& e) {
    const double a = e.smooth_length_m > 0 ? e.smooth_se_m / e.smooth_length_m : 0;
    const double b = e.correlated_length_m > 0 ? e.correlated_se_m / e.correlated_length_m : 0;
    return std::sqrt(a * a + b * b);
}

double farthest_run_past(const TerrainModel& terrain, Vec2 p, Vec2 downhill, double green_speed_ft) {
    // A putt that was just strong enough crosses the hole at this speed, whichever way it came.
    const double speed = speed_at_hole(kDeadWeightPastM, green_speed_ft);
    RollOptions options;
    options.tolerance = 1e-7;
    options.time_limit_s = 30;
    options.sample_step_m = 10;
    const double first = bearing_deg(downhill);
    double farthest = 0;
    for (int k = 0; k < 12; ++k) {
        const RollPath path = roll(*terrain.surface, terrain.outline, p, direction_of_bearing(first + 30.0 * k), speed,
                                   green_speed_ft, options);
        if (path.end != RollEnd::stopped) return std::numeric_limits<double>::infinity();
        farthest = std::max(farthest, distance(path.stop(), p));
    }
    return farthest;
}

// Four paces from any edge (Lemons, Green Section Record, July/August 2008).
Criterion edge_criterion(double edge_m, const HoleLimits& limits) {
    Criterion c{"edge", edge_m >= limits.edge_m, edge_m, limits.edge_m, "m", "", true, true};
    c.sentence = edge_m < 0 ? fmt::format("the place lies {:.1f} m outside the green", -edge_m)
                            : fmt::format("{:.1f} m ({:.1f} paces) from the edge {} the {:.1f} m ({:.1f} paces) wanted", edge_m,
                                          edge_m / kPace, c.pass ? "meets" : "is short of", limits.edge_m, limits.edge_m / kPace);
    return c;
}

// One decimal, or as many more, up to three, as it takes for a value and its limit not to read the same.
int digits_that_tell(double value, double limit) {
    int digits = 1;
    while (digits < 3 && fmt::format("{:.{}f}", value, digits) == fmt::format("{:.{}f}", limit, digits)) ++digits;
    return digits;
}

// Up to 3 % and 30/S %, the everyday default (common practice; half the field limit of Lemons 2008 is reserved for it).
Criterion slope_criterion(double slope, double green_speed_ft, const HoleLimits& limits) {
    const double allowed = allowed_slope(green_speed_ft, limits);
    Criterion c{"slope", slope <= allowed + 1e-9, percent(slope), percent(allowed), "%", ""};
    const int digits = digits_that_tell(c.value, c.limit);
    c.sentence = fmt::format("{:.{}f} % is {} the {:.{}f} % allowed at {:.1f} ft", c.value, digits, c.pass ? "within" : "over",
                             c.limit, digits, green_speed_ft);
    return c;
}

// Two to three feet round the hole without a change of slope (USGA/R&A guidance in Lemons 2008).
Criterion change_criterion(double change, double slope_se, const HoleLimits& limits) {
    Criterion c{"change of slope", change <= limits.slope_change, percent(change), percent(limits.slope_change), "%", ""};
    const int digits = digits_that_tell(c.value, c.limit);
    c.sentence = fmt::format("the slope changes by {:.{}f} % within {:.2f} m ({:.1f} ft) of the hole, {} the {:.{}f} % allowed", c.value, digits,
                             limits.radius_m, limits.radius_m / kFoot, c.pass ? "within" : "over", c.limit, digits);
    // A rough survey makes changes of its own: say so where they are as large as the limit.
    if (!c.pass && 2 * slope_se > limits.slope_change)
        c.sentence += fmt::format(" (the survey alone is uncertain by {:.1f} %)", percent(slope_se));
    return c;
}

// From anywhere with continuous putting surface a ball can be stopped within about two feet of the hole
// (Green Section Record 1981, in Lemons 2008).
Criterion stopping_criterion(double run_past_m, double steepest, double green_speed_ft, const HoleLimits& limits) {
    const bool holds = roll_ratio(steepest, green_speed_ft) < 1;
    Criterion c{"stopping", holds && run_past_m <= limits.run_past_m, run_past_m, limits.run_past_m, "m", ""};
    if (!holds || !std::isfinite(run_past_m)) {
        // No figure exists; the slope that a ball still stops on says how far off the place is.
        c.measured = false;
        const double least = level_deceleration(green_speed_ft) / (kRollFactor * kGravity);
        c.value = limits.run_past_m * std::max(2.0, 1 + roll_ratio(steepest, green_speed_ft));
        c.sentence = holds ? fmt::format("a putt that just reaches the hole runs on off the green at {:.1f} ft", green_speed_ft)
                           : fmt::format("a ball does not stop on the {:.1f} % here; at {:.1f} ft it stops up to {:.1f} %",
                                         percent(steepest), green_speed_ft, percent(least));
        return c;
    }
    c.sentence = fmt::format("a putt that just reaches the hole stops at most {:.2f} m ({:.1f} ft) from it, {} the {:.2f} m ({:.1f} ft) allowed", c.value,
                             c.value / kFoot, c.pass ? "within" : "over", c.limit, c.limit / kFoot);
    return c;
}

double margin(const Criterion& c) {
    if (c.limit <= 0) return c.pass ? 1 : -1;
    if (c.at_least) {
        // Shares end at the whole: all of it is comfortable.
        if (c.unit == "%" && c.pass) return c.limit >= 100 ? 1.0 : std::clamp((c.value - c.limit) / (100 - c.limit), 0.0, 1.0);
        return std::clamp((c.value - c.limit) / c.limit, -10.0, 1.0);
    }
    // What is comfortable differs: 1 % of slope, and the dead-weight distance itself.
    const double ease = c.name == "slope" ? percent(kComfortableSlope) : c.name == "stopping" || c.name == "from above" ? kDeadWeightPastM : 0.0;
    const double short_of = (c.limit - c.value) / c.limit;
    if (!c.pass || ease >= c.limit) return std::clamp(short_of, -10.0, 1.0);
    return std::clamp((c.limit - c.value) / (c.limit - ease), 0.0, 1.0);
}

double window_share(const TerrainModel& terrain, Vec2 p, Vec2 downhill, double green_speed_ft, CaptureModel model) {
    const double half = level_half_width(model, speed_at_hole(kUsualPastM, green_speed_ft), level_deceleration(green_speed_ft));
    const double level = degrees(2 * std::asin(half / kWindowPuttM));
    // One short family serves the four putts.
    RayFamilyOptions coarse;
    coarse.first_rays = 72;
    coarse.tolerance = 1e-5;
    const RayFamily family = trace_family(*terrain.surface, terrain.outline, p, green_speed_ft, kUsualPastM, coarse, nullptr,
                                          2 * kWindowPuttM);
    double narrowest = 1;
    for (Vec2 side : {downhill, -downhill, right_of(downhill), -right_of(downhill)}) {
        const PuttGround ground{*terrain.surface, terrain.outline, p + kWindowPuttM * side, p, level_deceleration(green_speed_ft),
                                speed_at_hole(kUsualPastM, green_speed_ft)};
        if (!terrain.outline.contains(ground.ball)) continue;
        // Of several ways to hole it the slowest, as a player would.
        std::optional<BackSolution> slowest;
        for (const RayHit& hit : hits_at(family, ground.ball)) {
            const auto solution = polish_backward(ground, hit);
            if (solution && (!slowest || solution->at_ball.speed < slowest->at_ball.speed)) slowest = solution;
        }
        if (!slowest) return 0;
        const RayPoint& start = slowest->at_ball;
        HolingWindow window;
        if (!holing_window(ground, {std::atan2(start.v.y, start.v.x), start.speed}, window, model)) return 0;
        narrowest = std::min(narrowest, (window.right_deg - window.left_deg) / level);
    }
    return std::clamp(narrowest, 0.0, 1.0);
}

double hole_score(const HolePosition& position, double window) {
    if (!position.fair) return 0;
    double least = 1;
    for (const Criterion& c : position.criteria) least = std::min(least, margin(c));
    // To a thousandth: finer differences are no reason to prefer a place.
    return std::round(1000 * (0.6 * std::max(least, 0.0) + 0.4 * window)) / 1000;
}

HolePosition judge_criteria(const TerrainModel& terrain, Vec2 p, double green_speed_ft, const HoleLimits& limits, bool all) {
    // Where no green is, nothing but the edge can be said.
    HolePosition out;
    out.p = p;
    out.edge_m = terrain.outline.signed_distance(p);
    out.criteria.push_back(edge_criterion(out.edge_m, limits));
    if (out.edge_m < 0) return out;

    const GroundRound ground = ground_round(terrain, p, limits.radius_m);
    out.slope = ground.slope;
    out.criteria.push_back(slope_criterion(ground.slope, green_speed_ft, limits));
    out.criteria.push_back(change_criterion(ground.change, slope_standard_error(terrain.error), limits));

    // Rolling is the dear part: only where the rest holds, or where every figure was asked for.
    const auto passes = [](const Criterion& c) { return c.pass; };
    const bool so_far = std::all_of(out.criteria.begin(), out.criteria.end(), passes);
    if (so_far || all) {
        const bool holds = roll_ratio(ground.steepest, green_speed_ft) < 1;
        // On the steepest ground within the radius it would stop by the closed form; where that holds, and stays within
        // the radius, no direction runs farther and rolling tells nothing more.
        double run = holds ? kDeadWeightPastM / (1 - roll_ratio(ground.steepest, green_speed_ft)) : 0;
        if (!holds || run > std::min(limits.radius_m, limits.run_past_m))
            run = holds ? farthest_run_past(terrain, p, ground.downhill, green_speed_ft) : std::numeric_limits<double>::infinity();
        out.criteria.push_back(stopping_criterion(run, ground.steepest, green_speed_ft, limits));
    }
    out.fair = std::all_of(out.criteria.begin(), out.criteria.end(), passes);
    return out;
}

void check_hole_question(const TerrainModel& terrain, double green_speed_ft, const HoleLimits& limits) {
    if (terrain.outline.empty() || !terrain.surface) throw usage_error("the green has no outline or no surface; both are wanted");
    level_deceleration(green_speed_ft);  // refuses a speed out of range with its own sentence
    const auto wanted = [](double value, double low, double high, const char* what, const char* unit) {
        if (!(value >= low && value <= high))
            throw usage_error(fmt::format("the limit for {} is {} {}; {} to {} {} is wanted", what, value, unit, low, high, unit));
    };
    wanted(limits.edge_m, 0, 30, "the distance from the edge", "m");
    wanted(limits.radius_m, 0.1, 5, "the ground round the hole", "m");
    wanted(percent(limits.slope_ceiling), 0, 20, "the slope", "%");
    wanted(percent(limits.slope_times_speed), 0, 200, "slope times speed", "% ft");
    wanted(percent(limits.slope_change), 0, 20, "the change of slope", "%");
    wanted(limits.run_past_m, 0, 5, "running past", "m");
    wanted(limits.spacing_m, 0.1, 5, "the spacing of candidates", "m");
    wanted(limits.apart_m, 0, 50, "the distance between holes", "m");
}

HolePosition judge_hole(const TerrainModel& terrain, Vec2 p, double green_speed_ft, const HoleLimits& limits) {
    check_hole_question(terrain, green_speed_ft, limits);
    if (!std::isfinite(p.x) || !std::isfinite(p.y)) throw usage_error("the hole's place is not a number");
    HolePosition out = judge_criteria(terrain, p, green_speed_ft, limits, true);

    // One line: what speaks against it, or the limit that it is nearest to.
    const Criterion* tightest = nullptr;
    std::string against;
    for (const Criterion& c : out.criteria) {
        if (!c.pass) against += (against.empty() ? "" : "; ") + c.sentence;
        if (!tightest || margin(c) < margin(*tightest)) tightest = &c;
    }
    if (out.fair) out.score = hole_score(out, window_share(terrain, p, ground_round(terrain, p, limits.radius_m).downhill, green_speed_ft,
                                                              limits.capture));
    out.why = out.fair ? fmt::format("fair; nearest limit: {}", tightest->sentence) : "not fair: " + against;
    return out;
}

}  // namespace brae
