#include "core/plan/hole_today.h"

#include "core/base/units.h"
#include "core/plan/hole_criteria.h"
#include "core/plan/zones.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace brae {

namespace {

// What it costs a place to lie in the same third, along and across, as one that was chosen.
constexpr double kAlikeAlong = 0.15, kAlikeAcross = 0.08;
constexpr double kAnyDirection = 0.002;   // a mean slope under which one direction is as good as another
constexpr int kAcross = 7;                // points a side of the square

const Criterion& tightest_of(const HolePosition& h) {
    return *std::min_element(h.criteria.begin(), h.criteria.end(), [](const Criterion& a, const Criterion& b) { return margin(a) < margin(b); });
}

std::string one_line(const HolePosition& h, const GreenThirds& thirds) {
    std::string out = fmt::format("{}: {:.1f} % slope, {:.1f} paces from the edge", thirds.name(h.p), percent(h.slope), h.edge_m / kPace);
    if (h.putts > 0) out += fmt::format(", {:.2f} putts on average", h.putts);
    return out + "; nearest limit: " + tightest_of(h).name;
}

}  // namespace

TodayHoles choose_today(const GreenJudgement& judged, const GreenThirds& thirds, const std::vector<Vec2>& recent, const TodayOptions& options) {
    TodayHoles out;
    if (judged.fair == 0) {
        out.why_none = judged.why_none;
        return out;
    }
    std::vector<const HolePosition*> open;
    for (const HolePosition& h : judged.places)
        if (h.fair && std::all_of(recent.begin(), recent.end(), [&](Vec2 r) { return distance(r, h.p) >= options.apart_m; })) open.push_back(&h);
    if (open.empty()) {
        out.why_none = fmt::format("{} places are fair, but each is nearer than {:.1f} m to a recent hole", judged.fair, options.apart_m);
        return out;
    }

    // The best; then again and again the best of what is apart and not alike. Ties by the order of the lattice.
    while (out.best.size() < options.most) {
        const HolePosition* next = nullptr;
        double worth = -std::numeric_limits<double>::infinity();
        for (const HolePosition* h : open) {
            double w = h->score;
            bool apart = true;
            for (const HolePosition& taken : out.best) {
                apart = apart && distance(taken.p, h->p) >= options.apart_m;
                w -= kAlikeAlong * (thirds.along(taken.p) == thirds.along(h->p)) + kAlikeAcross * (thirds.across(taken.p) == thirds.across(h->p));
            }
            if (apart && w > worth) worth = w, next = h;
        }
        if (!next) break;
        out.best.push_back(*next);
        out.best.back().why = one_line(*next, thirds);
    }
    return out;
}

std::optional<RampSite> flattest_site(const TerrainModel& terrain, const std::vector<std::vector<Vec2>>& closed, double green_speed_ft, double side_m) {
    std::optional<RampSite> best;
    double least = std::numeric_limits<double>::infinity();
    const double half = side_m / 2;
    const Box& box = terrain.outline.box();
    const auto gradient = [&](Vec2 p) {
        const SurfaceJet j = terrain.surface->jet(p.x, p.y);
        return Vec2{j.hx, j.hy};
    };
    for (double y = std::ceil(2 * box.y0) / 2; y <= box.y1; y += 0.5)
        for (double x = std::ceil(2 * box.x0) / 2; x <= box.x1; x += 0.5) {
            const Vec2 p{x, y};
            if (!terrain.outline.contains(p) || terrain.outline.signed_distance(p) < half || inside_any(closed, p)) continue;

            // The square lies along the fall line of its own middle.
            Vec2 mean;
            for (int k = 0; k < 12; ++k) mean = mean + gradient(p + half * direction_of_bearing(30.0 * k));
            const Vec2 up = norm(mean) > 1e-9 ? unit(mean) : Vec2{0, 1}, right = right_of(up);
            double sum = 0, worst = 0;
            bool good = true;
            for (int j = 0; j < kAcross && good; ++j)
                for (int i = 0; i < kAcross && good; ++i) {
                    const Vec2 q = p + (side_m * (i / (kAcross - 1.0) - 0.5)) * right + (side_m * (j / (kAcross - 1.0) - 0.5)) * up;
                    const bool rim = i == 0 || j == 0 || i == kAcross - 1 || j == kAcross - 1;
                    if (rim && (!terrain.outline.contains(q) || inside_any(closed, q))) {
                        good = false;
                        break;
                    }
                    const double s = norm(gradient(q));
                    sum += s;
                    worst = std::max(worst, s);
                }
            // To a millionth, so that rounding prefers no place of even ground.
            const double badness = std::round(1e6 * (sum / (kAcross * kAcross) + 0.5 * worst));
            if (!good || badness >= least) continue;
            least = badness;
            RampSite site;
            site.centre = p;
            site.side_m = side_m;
            site.bearing_deg = bearing_deg(up);
            site.slope = sum / (kAcross * kAcross);
            site.worst_slope = worst;
            const Vec2 a = half * up, b = half * right;
            const Vec2 corners[4] = {p - a - b, p - a + b, p + a + b, p + a - b};
            std::copy(corners, corners + 4, site.corners);
            best = site;
        }
    if (!best) return best;

    // Uphill and downhill readings are S / (1 + e) and S / (1 - e) (derived; Brede 1990 takes their harmonic mean).
    const double e = roll_ratio(best->slope, green_speed_ft);
    best->sentence = fmt::format("the flattest {:.0f} x {:.0f} m lie round ({:.1f}, {:.1f}), {:.1f} % on average", side_m, side_m, best->centre.x, best->centre.y,
                                 percent(best->slope));
    if (best->slope < kAnyDirection) best->sentence += "; roll the ramp both ways along any line";
    else if (e < 1)
        best->sentence += fmt::format("; roll the ramp both ways along its fall line, {:.0f} and {:.0f} degrees from north: at {:.1f} ft the two ways differ by about "
                                      "{:.1f} ft, which 2 Su Sd / (Su + Sd) takes out", best->bearing_deg, std::fmod(best->bearing_deg + 180, 360.0), green_speed_ft,
                                      green_speed_ft * 2 * e / (1 - e * e));
    else best->sentence += fmt::format("; no ball stops there downhill at {:.1f} ft, so this green cannot tell its speed", green_speed_ft);
    return best;
}

}  // namespace brae
