#include "core/plan/hole_rotation.h"

#include "core/base/compass.h"
#include "core/base/units.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace brae {

namespace {

// Holes of this many days keep their distance (common practice).
constexpr int kWeek = 7;
// Plans kept from day to day.
constexpr std::size_t kBeam = 120;
// A plug heals for about two weeks, so a plan does not return to within a metre of its own holes where it can.
constexpr double kHealingM = 1.0;

// What a plan is worth: the scores, less for a third used more than the others, for a place used again, and for a day
// without a new hole.
constexpr double kAlongPenalty = 0.25, kAcrossPenalty = 0.15, kAgainPenalty = 0.6, kNoHolePenalty = 5.0;

const char* word_of(Vec2 direction) { return compass(bearing_deg(direction)).word; }

int third(double value, double low, double high) {
    return std::clamp(static_cast<int>(3 * (value - low) / (high - low)), 0, 2);
}

struct Plan {
    std::vector<int> picks;
    std::array<int, 3> along{}, across{};
    double worth = 0;
};

}  // namespace

int GreenThirds::along(Vec2 p) const { return third(dot(p, axis), along_low, along_high); }
int GreenThirds::across(Vec2 p) const { return third(dot(p, right_of(axis)), across_low, across_high); }
std::string GreenThirds::name(Vec2 p) const { return along_names[along(p)] + " third, " + across_names[across(p)]; }

GreenThirds green_thirds(const Outline& outline) {
    // Second moments of the ring's area by its triangles about the centroid; the larger axis is the length.
    const Vec2 c = outline.centroid();
    const auto& ring = outline.ring();
    double xx = 0, xy = 0, yy = 0;
    for (std::size_t i = 0, n = ring.size(); i < n; ++i) {
        const Vec2 a = ring[i] - c, b = ring[(i + 1) % n] - c;
        const double w = cross(a, b) / 24;
        xx += w * 2 * (a.x * a.x + a.x * b.x + b.x * b.x);
        yy += w * 2 * (a.y * a.y + a.y * b.y + b.y * b.y);
        xy += w * (2 * a.x * a.y + a.x * b.y + b.x * a.y + 2 * b.x * b.y);
    }
    GreenThirds t;
    const double angle = 0.5 * std::atan2(2 * xy, xx - yy);
    const double spread = std::hypot((xx - yy) / 2, xy), middle = (xx + yy) / 2;
    // A round green has no long axis: north serves.
    t.axis = spread < 0.05 * middle ? Vec2{0, 1} : Vec2{std::cos(angle), std::sin(angle)};
    if (t.axis.y < -1e-9 || (std::abs(t.axis.y) <= 1e-9 && t.axis.x < 0)) t.axis = -t.axis;

    t.along_low = t.across_low = std::numeric_limits<double>::infinity();
    t.along_high = t.across_high = -t.along_low;
    for (Vec2 p : ring) {
        t.along_low = std::min(t.along_low, dot(p, t.axis));
        t.along_high = std::max(t.along_high, dot(p, t.axis));
        t.across_low = std::min(t.across_low, dot(p, right_of(t.axis)));
        t.across_high = std::max(t.across_high, dot(p, right_of(t.axis)));
    }
    t.along_names = {word_of(-t.axis), "middle", word_of(t.axis)};
    t.across_names = {std::string(word_of(-right_of(t.axis))) + " side", "centre",
                      std::string(word_of(right_of(t.axis))) + " side"};
    return t;
}

std::vector<int> rotate_holes(const std::vector<HolePosition>& pool, const GreenThirds& thirds, int days,
                              const std::vector<Vec2>& recent, double apart_m) {
    const int n = static_cast<int>(pool.size());
    std::vector<int> along(n), across(n);
    for (int k = 0; k < n; ++k) along[k] = thirds.along(pool[k].p), across[k] = thirds.across(pool[k].p);

    std::vector<Plan> beam(1);
    for (int day = 0; day < days; ++day) {
        std::vector<Plan> next;
        for (const Plan& plan : beam) {
            const int least_along = *std::min_element(plan.along.begin(), plan.along.end());
            const int least_across = *std::min_element(plan.across.begin(), plan.across.end());
            for (int k = 0; k < n; ++k) {
                // Hard: the distance from the holes of the last seven days.
                bool clear = true, again = false;
                for (int d = 0; d < day; ++d) {
                    if (plan.picks[d] < 0) continue;
                    const double away = distance(pool[plan.picks[d]].p, pool[k].p);
                    clear = clear && (day - d > kWeek || away >= apart_m);
                    again = again || away < kHealingM;
                }
                if (day < kWeek)
                    for (Vec2 r : recent) clear = clear && distance(r, pool[k].p) >= apart_m;
                if (!clear) continue;

                // Soft: thirds in turn, fresh ground.
                Plan more = plan;
                more.picks.push_back(k);
                more.worth += pool[k].score - kAlongPenalty * (plan.along[along[k]] - least_along) -
                              kAcrossPenalty * (plan.across[across[k]] - least_across) - (again ? kAgainPenalty : 0);
                ++more.along[along[k]];
                ++more.across[across[k]];
                next.push_back(std::move(more));
            }
            Plan skip = plan;
            skip.picks.push_back(-1);
            skip.worth -= kNoHolePenalty;
            next.push_back(std::move(skip));
        }
        std::stable_sort(next.begin(), next.end(), [](const Plan& a, const Plan& b) { return a.worth > b.worth; });
        if (next.size() > kBeam) next.resize(kBeam);
        beam = std::move(next);
    }
    return beam.front().picks;
}

}  // namespace brae
