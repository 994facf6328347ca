#include "terrain-samples/generator/sample_greens.h"

#include "core/base/constants.h"
#include "terrain-samples/generator/formula.h"

namespace brae::samples {

namespace {

// A closed curve round the origin: r = a (1 + sum of two harmonics), 96 points.
std::vector<Vec2> ring(double a, double stretch, double c2, double p2, double c3, double p3) {
    std::vector<Vec2> points;
    for (int k = 0; k < 96; ++k) {
        const double t = 2 * kPi * k / 96;
        const double r = a * (1 + c2 * std::cos(2 * (t - p2)) + c3 * std::cos(3 * (t - p3)));
        points.push_back({stretch * r * std::cos(t), r * std::sin(t)});
    }
    return points;
}

// Practice green, about 540 m2: tilted 1.9 % to the south-west with two gentle swells and a slow steepening.
Jet tilted(const Jet& x, const Jet& y) {
    return 0.0145 * x + 0.012 * y + 0.045 * sin(0.21 * x + 0.08 * y) + 0.030 * sin(0.26 * y - 0.05 * x + Jet(0.7)) +
           0.00016 * x * x * y * Jet(0.08);
}

// Two tiers, about 600 m2: 1.3 to 2 % on both, a rise of 0.42 m over some 4 m between them along a bent line.
Jet two_tier(const Jet& x, const Jet& y) {
    const Jet across = y - Jet(1.5) - 0.22 * x - 0.012 * x * x;
    return 0.010 * y + 0.008 * x + 0.21 * tanh(0.62 * across) + 0.022 * sin(0.24 * x + Jet(0.4)) -
           0.00030 * square(x - Jet(2));
}

// A crown with a swale, about 410 m2: it falls away on all sides, steeper to the edge, with a trough to the south.
Jet crowned(const Jet& x, const Jet& y) {
    const Jet r2 = square(x - Jet(0.8)) + 1.15 * square(y - Jet(1.2));
    const Jet swale = 0.11 * exp(-square(0.28 * x + 0.10 * y - Jet(0.6))) * (Jet(0.5) - 0.5 * tanh(0.35 * y + Jet(0.4)));
    return -0.00125 * r2 - 0.0000022 * r2 * r2 - swale + 0.006 * x - 0.004 * y;
}

// The tier's middle line and its offsets, for the strings along top and toe.
CodedString tier_string(const std::string& code, double offset, double x0, double x1) {
    CodedString s{code, {}};
    for (double x = x0; x <= x1 + 1e-9; x += 1.0) s.points.push_back({x, 1.5 + 0.22 * x + 0.012 * x * x + offset});
    return s;
}

}  // namespace

SampleGreen::SampleGreen(Kind kind) : kind_(kind) {
    switch (kind) {
        case Kind::tilted:
            folder = "practice-green";
            title = "Dunlarrick practice green";
            crs = "EPSG:27700";
            origin = {219440, 804118};
            datum = 87.4;
            seed = 20260401;
            outline = ring(12.4, 1.12, 0.06, 0.3, 0.05, 1.1);
            hole = {-3.5, 2.5};
            marks = {{"S1", "sprinkler head front left", {-11.5, -11.0, 0}},
                     {"S2", "sprinkler head front right", {11.5, -11.0, 0}},
                     {"S3", "sprinkler head back right", {11.0, 12.5, 0}},
                     {"D1", "drain cover back left", {-12.0, 11.0, 0}}};
            break;
        case Kind::two_tier:
            folder = "two-tier";
            title = "Dunlarrick 7th green";
            crs = "EPSG:27700";
            origin = {219866, 804352};
            datum = 94.1;
            seed = 20260402;
            outline = ring(13.6, 1.02, 0.08, 1.45, 0.03, 0.4);
            hole = {3.0, -4.5};
            marks = {{"S1", "sprinkler head front left", {-9.5, -12.5, 0}},
                     {"S2", "sprinkler head front right", {10.5, -12.0, 0}},
                     {"S3", "sprinkler head back", {2.0, 16.5, 0}},
                     {"D1", "drain cover left", {-15.0, 3.0, 0}}};
            strings = {tier_string("TOP", 2.1, -11, 8), tier_string("TOE", -2.1, -11, 11)};
            break;
        case Kind::crowned:
            folder = "crowned";
            title = "Dunlarrick 12th green";
            // A system whose point scale is not 1, as drone surveys often come.
            crs = "EPSG:32630";
            origin = {371250, 6342810};
            datum = 101.7;
            seed = 20260403;
            outline = ring(11.2, 1.06, 0.07, 0.8, 0.04, 2.0);
            hole = {-1.5, 3.5};
            marks = {{"S1", "sprinkler head front left", {-9.0, -10.0, 0}},
                     {"S2", "sprinkler head front right", {10.5, -9.0, 0}},
                     {"S3", "sprinkler head back", {0.5, 13.5, 0}},
                     {"N1", "survey nail in the path", {15.0, 4.0, 0}}};
            break;
    }
    for (auto& m : marks) m.p.z = height(m.p.x, m.p.y);
}

SurfaceJet SampleGreen::jet(double x, double y) const noexcept {
    const Jet jx{x, 1, 0, 0, 0, 0}, jy{y, 0, 1, 0, 0, 0};
    switch (kind_) {
        case Kind::two_tier: return two_tier(jx, jy).surface();
        case Kind::crowned: return crowned(jx, jy).surface();
        case Kind::tilted: break;
    }
    return tilted(jx, jy).surface();
}

std::vector<SampleGreen> all_greens() {
    using K = SampleGreen::Kind;
    return {SampleGreen(K::tilted), SampleGreen(K::two_tier), SampleGreen(K::crowned)};
}

}  // namespace brae::samples
