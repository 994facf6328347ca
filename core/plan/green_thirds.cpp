#include "core/plan/green_thirds.h"

#include "core/base/compass.h"
#include "core/base/units.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace brae {

namespace {

const char* word_of(Vec2 direction) { return compass(bearing_deg(direction)).word; }

int third(double value, double low, double high) {
    return std::clamp(static_cast<int>(3 * (value - low) / (high - low)), 0, 2);
}

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

}  // namespace brae
