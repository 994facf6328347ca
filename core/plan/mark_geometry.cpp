#include "core/plan/mark_geometry.h"

#include "core/base/error.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace brae {

namespace {

constexpr double kSpots = 300;           // about so many over the green
constexpr double kOutsideM = 1.0;        // a new mark is looked for so far beyond the edge
constexpr double kAlongM = 2.0;          // between the places that are tried
constexpr double kTellsM = 0.06;         // twice the misfit that a check forgives
// What a spot costs that cannot be taped, or has no check: so many metres of error (own choice; the worst crossing that is
// taken has 2.8 cm).
constexpr double kNoTapesCostM = 0.10, kNoCheckCostM = 0.03;

std::vector<Vec2> spots_of(const Outline& outline) {
    const Box& box = outline.box();
    const double step = std::sqrt(std::max(outline.area_m2(), 1.0) / kSpots);
    std::vector<Vec2> out;
    for (double y = box.y0 + step / 2; y < box.y1; y += step)
        for (double x = box.x0 + step / 2; x < box.x1; x += step)
            if (outline.contains({x, y})) out.push_back({x, y});
    if (out.empty()) out.push_back(outline.centroid());
    return out;
}

struct Judged { double taped = 0, checked = 0, mean_cost = 0, median_se = 0, worst_crossing = 90; };

Judged judge(const std::vector<Vec2>& spots, const std::vector<TapePoint>& marks) {
    Judged out;
    std::vector<double> errors;
    for (Vec2 p : spots) {
        const auto plan = plan_tapes(marks, p);
        if (!plan) {
            out.mean_cost += kNoTapesCostM + kNoCheckCostM;
            continue;
        }
        errors.push_back(plan->se_m);
        if (std::abs(plan->crossing_deg - 90) > std::abs(out.worst_crossing - 90)) out.worst_crossing = plan->crossing_deg;
        bool checked = false;
        if (plan->check) {
            const Vec2 a = plan->first.from.p, line = unit(plan->second.from.p - a);
            const Vec2 mirror = 2.0 * (a + dot(p - a, line) * line) - p;
            checked = std::abs(distance(plan->check->from.p, mirror) - plan->check->metres) > kTellsM;
        }
        out.checked += checked;
        out.mean_cost += plan->se_m + (checked ? 0 : kNoCheckCostM);
    }
    const double n = static_cast<double>(spots.size());
    out.taped = static_cast<double>(errors.size()) / n;
    out.checked /= n;
    out.mean_cost /= n;
    out.median_se = std::numeric_limits<double>::quiet_NaN();
    if (!errors.empty()) {
        const auto middle = errors.begin() + static_cast<std::ptrdiff_t>(errors.size() / 2);
        std::nth_element(errors.begin(), middle, errors.end());
        out.median_se = *middle;
    }
    return out;
}

// Places along the edge, moved outwards.
std::vector<Vec2> places_outside(const Outline& outline) {
    std::vector<Vec2> out;
    const auto& ring = outline.ring();
    double carried = 0;
    for (std::size_t k = 0; k < ring.size(); ++k) {
        const Vec2 a = ring[k], b = ring[(k + 1) % ring.size()];
        const double length = distance(a, b);
        const Vec2 along = (b - a) / length, outwards = right_of(along);  // the ring runs counter-clockwise
        double at = kAlongM - carried;
        for (; at <= length; at += kAlongM) {
            const Vec2 p = a + at * along + kOutsideM * outwards;
            if (!outline.contains(p)) out.push_back(p);
        }
        carried = length - (at - kAlongM);
    }
    return out;
}

}  // namespace

MarkGeometry mark_geometry(const Outline& outline, const std::vector<TapePoint>& marks, Progress& progress) {
    if (outline.empty()) throw usage_error("the green has no outline, so its marks cannot be judged");
    const std::vector<Vec2> spots = spots_of(outline);
    const Judged now = judge(spots, marks);
    MarkGeometry out;
    out.taped = now.taped;
    out.checked = now.checked;
    out.se_m = now.median_se;
    out.worst_crossing_deg = now.worst_crossing;

    // One mark more at each place in turn; the first of the best wins. A green without any mark has no place that helps.
    const std::vector<Vec2> places = places_outside(outline);
    Judged best = now;
    for (std::size_t k = 0; k < places.size(); ++k) {
        progress.step(static_cast<double>(k) / static_cast<double>(places.size()), "judging the marks");
        std::vector<TapePoint> more = marks;
        more.push_back({"new", places[k]});
        const Judged with = judge(spots, more);
        if (with.mean_cost < best.mean_cost - 1e-12) {
            best = with;
            out.help = places[k];
        }
    }
    const bool helps = best.taped + best.checked > now.taped + now.checked + 0.02 || now.mean_cost - best.mean_cost > 0.001;
    if (!helps) out.help.reset();
    out.taped_with_help = helps ? best.taped : now.taped;
    out.checked_with_help = helps ? best.checked : now.checked;
    return out;
}

}  // namespace brae
