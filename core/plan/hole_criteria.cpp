#include "core/plan/hole_criteria.h"

#include "core/base/units.h"
#include "core/roll/green_speed.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

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

// One decimal, or as many more, up to three, as it takes for a value and its limit not to read the same.
int digits_that_tell(double value, double limit) {
    int digits = 1;
    while (digits < 3 && fmt::format("{:.{}f}", value, digits) == fmt::format("{:.{}f}", limit, digits)) ++digits;
    return digits;
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
    }
    if (gradients.empty()) return ground;

    // The vector's departure, so that a ridge or a valley counts although the slope is the same on both of its sides.
    const double count = static_cast<double>(gradients.size());
    const Vec2 mean = sum / count;
    ground.slope /= count;
    for (Vec2 g : gradients) ground.change = std::max(ground.change, norm(g - mean));
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

// Four paces from any edge (Lemons, Green Section Record, July/August 2008).
Criterion edge_criterion(double edge_m, const HoleLimits& limits) {
    Criterion c{"edge", edge_m >= limits.edge_m, edge_m, limits.edge_m, "m", "", true, true};
    if (edge_m < 0) {
        c.sentence = fmt::format("the place lies {:.1f} m outside the green", -edge_m);
        return c;
    }
    const int metres = c.pass ? 1 : digits_that_tell(edge_m, limits.edge_m), paces = c.pass ? 1 : digits_that_tell(edge_m / kPace, limits.edge_m / kPace);
    c.sentence = fmt::format("{:.{}f} m ({:.{}f} paces) from the edge {} the {:.{}f} m ({:.{}f} paces) wanted", edge_m, metres, edge_m / kPace, paces,
                             c.pass ? "meets" : "is short of", limits.edge_m, metres, limits.edge_m / kPace, paces);
    return c;
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

double margin(const Criterion& c) {
    if (c.limit <= 0) return c.pass ? 1 : -1;
    if (c.at_least) {
        // Shares end at the whole: all of it is comfortable.
        if (c.unit == "%" && c.pass) return c.limit >= 100 ? 1.0 : std::clamp((c.value - c.limit) / (100 - c.limit), 0.0, 1.0);
        return std::clamp((c.value - c.limit) / c.limit, -10.0, 1.0);
    }
    // What is comfortable differs: 1 % of slope, and the dead-weight distance itself.
    const double ease = c.name == "slope" ? percent(kComfortableSlope) : c.name == "from above" ? kDeadWeightPastM : 0.0;
    const double short_of = (c.limit - c.value) / c.limit;
    if (!c.pass || ease >= c.limit) return std::clamp(short_of, -10.0, 1.0);
    return std::clamp((c.limit - c.value) / (c.limit - ease), 0.0, 1.0);
}

}  // namespace brae
