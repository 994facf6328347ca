#include "core/plan/course_greens.h"

#include "core/base/segment.h"
#include "core/base/units.h"
#include "core/survey/ring.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace brae {

namespace {

// Own model of wear; see the header.
constexpr double kRoundHole = 1.2, kOnTheWay = 0.6, kWayShare = 0.5;

double bell(double distance_m, double width) { return std::exp(-distance_m * distance_m / (2 * width * width)); }

}  // namespace

double wear_at(Vec2 p, const std::vector<DatedHole>& past, const std::vector<Vec2>& gates, const Outline& outline, int day, double recovery_days) {
    double sum = 0;
    for (const DatedHole& h : past) {
        if (h.day >= day) continue;
        // The way to a hole leads from the nearest gate, or from the edge where there is none.
        Vec2 gate = outline.nearest_edge_point(h.p);
        double near = std::numeric_limits<double>::infinity();
        for (Vec2 g : gates)
            if (distance(g, h.p) < near) near = distance(g, h.p), gate = g;
        const double on_way = distance(nearest_on_segment(p, gate, h.p), p);
        sum += std::pow(0.5, (day - h.day) / recovery_days) * std::max(bell(distance(p, h.p), kRoundHole), kWayShare * bell(on_way, kOnTheWay));
    }
    return std::min(sum, 1.0);
}

GreenThirds thirds_of(const Outline& outline, std::optional<Vec2> play) {
    GreenThirds t = green_thirds(outline);
    if (!play) return t;
    t.axis = unit(*play);
    t.along_low = t.across_low = std::numeric_limits<double>::infinity();
    t.along_high = t.across_high = -t.along_low;
    for (Vec2 p : outline.ring()) {
        t.along_low = std::min(t.along_low, dot(p, t.axis));
        t.along_high = std::max(t.along_high, dot(p, t.axis));
        t.across_low = std::min(t.across_low, dot(p, right_of(t.axis)));
        t.across_high = std::max(t.across_high, dot(p, right_of(t.axis)));
    }
    t.along_names = {"front", "middle", "back"};
    t.across_names = {"left", "centre", "right"};
    return t;
}

CourseGreen course_green(const GreenJudgement& judged, const TerrainModel& terrain, std::optional<Vec2> play, const GreenOverDays& over,
                         double recovery_days, int most) {
    CourseGreen out;
    out.name = over.name;
    out.counts = over.counts;
    for (const DatedHole& h : over.past) out.past.push_back({h.p, -h.day});
    out.skipped = over.skipped;

    const GreenThirds thirds = thirds_of(terrain.outline, play);
    const auto candidate = [&](Vec2 p, const HolePosition& as) {
        CourseCandidate c;
        c.p = p;
        c.score = as.score;
        c.difficulty = as.putts;
        c.along = thirds.along(p);
        c.across = thirds.across(p);
        c.wear = wear_at(p, over.past, over.gates, terrain.outline, 0, recovery_days);
        return c;
    };
    // Fair places that a zone closes for the whole plan are none; others wait for their day.
    std::vector<CourseCandidate> all;
    for (const HolePosition& h : judged.places) {
        if (!h.fair) continue;
        CourseCandidate c = candidate(h.p, h);
        bool open = true;
        for (const DatedZone& z : over.zones) {
            if (side_of_ring(z.ring, h.p) < 0) continue;
            open = open && z.open_from.has_value();
            if (z.open_from) c.from_day = std::max(c.from_day, *z.open_from);
        }
        if (open) all.push_back(c);
    }
    for (const int k : diverse(all, most)) out.candidates.push_back(all[static_cast<std::size_t>(k)]);

    // What people have set stands, whatever was judged of it; how hard it is, is said by the nearest place.
    for (const DatedHole& h : over.by_hand) {
        const HolePosition none;
        const auto nearest = std::min_element(judged.places.begin(), judged.places.end(),
                                              [&](const HolePosition& a, const HolePosition& b) { return distance(a.p, h.p) < distance(b.p, h.p); });
        out.by_hand.push_back({h.day, static_cast<int>(out.candidates.size())});
        out.candidates.push_back(candidate(h.p, nearest == judged.places.end() ? none : *nearest));
    }
    return out;
}

}  // namespace brae
