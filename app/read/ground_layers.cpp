#include "app/read/ground_layers.h"

#include "app/scene/draping.h"
#include "core/base/constants.h"
#include "core/terrain/build_terrain.h"
#include "core/terrain/slope.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace brae::app {
namespace {

constexpr Colour kContour{0.10f, 0.13f, 0.17f, 0.38f}, kIndex{0.10f, 0.13f, 0.17f, 0.62f};
constexpr Colour kFall{0.10f, 0.13f, 0.17f, 0.36f};
constexpr double kFallSpacing = 1.2;  // m between fall lines

// A step for every part, each with a share of the whole progress.
class Part {
public:
    Part(Progress& whole, double from, double to)
        : progress([&whole, from, to](double f, const std::string& s) { whole.step(from + f * (to - from), s); }) {}
    Progress progress;
};

}  // namespace

double contour_interval(double z_range, plugin::Units units) {
    if (units == plugin::Units::feet) {
        for (double inches : {0.5, 1.0, 2.0, 4.0, 6.0})
            if (z_range / (inches * kInch) <= 22) return inches * kInch;
        return 12 * kInch;
    }
    for (double step : {0.01, 0.02, 0.05, 0.10, 0.20})
        if (z_range / step <= 22) return step;
    return 0.5;
}

std::shared_ptr<const std::vector<Line>> outline_line(const TerrainModel& terrain) {
    auto out = std::make_shared<std::vector<Line>>();
    const auto add = [&](std::vector<Vec2> ring) {
        if (!ring.empty()) ring.push_back(ring.front());
        out->push_back({drape(terrain, ring), {{0.16f, 0.19f, 0.22f, 1}, 1.75f, plugin::Dash::solid}, 0, 1, true});
    };
    add(terrain.outline.ring());
    for (const auto& gap : terrain.outline.gaps()) add(gap);
    return out;
}

GroundLayers work_out_layers(const TerrainModel& terrain, double z_range, plugin::Units units, Progress& progress) {
    GroundLayers out;
    out.slope = slope_summary(terrain);
    out.contour_interval_m = contour_interval(z_range, units);
    if (units == plugin::Units::feet) out.index_every = 6;
    const int every = out.index_every;

    // Contours; the index lines carry their height.
    auto contour_lines = std::make_shared<std::vector<Line>>();
    Part first(progress, 0.0, 0.4);
    for (const ContourLine& c : contours(terrain, out.contour_interval_m, first.progress)) {
        if (c.points.size() < 2) continue;
        const long n = std::lround(c.height / out.contour_interval_m);
        const bool index = n % every == 0;
        std::vector<Vec2> points = c.points;
        if (c.closed && !(points.front() == points.back())) points.push_back(points.front());
        contour_lines->push_back({drape(terrain, points, 0.5),
                                  {index ? kIndex : kContour, index ? 1.3f : 0.8f, plugin::Dash::solid}, 0, 1, true});
        double length = 0;
        for (std::size_t k = 1; k < points.size(); ++k) length += distance(points[k - 1], points[k]);
        if (index && length > 4) {
            char text[32];
            std::snprintf(text, sizeof text, units == plugin::Units::feet ? "%.2f ft" : "%.2f", units == plugin::Units::feet ? c.height / kFoot : c.height);
            const Vec2 at = points[points.size() / 2];
            out.contour_labels.push_back({drape(terrain, at), text, plugin::TextAnchor::centre,
                                          {0.10f, 0.13f, 0.17f, 0.85f}, 0, 0, true, false});
        }
    }
    out.contours = contour_lines;

    // Fall lines run downhill and grow thicker on the way, which says the direction without arrows.
    auto falls = std::make_shared<std::vector<Line>>();
    Part second(progress, 0.4, 1.0);
    for (const FallLine& f : fall_lines(terrain, kFallSpacing, second.progress))
        if (f.points.size() >= 2)
            falls->push_back({drape(terrain, f.points, 0.5), {kFall, 0.6f, plugin::Dash::dashed}, 0, 2.6f, true});
    out.fall_lines = falls;
    return out;
}

}  // namespace brae::app
