// How often the true height and slope of a sample green lie within the stated standard errors, through the whole chain:
// fresh noise, file, reader, cleaning, surface.
#pragma once

#include "core/survey/read_survey.h"
#include "core/terrain/build_terrain.h"
#include "core/terrain/slope.h"
#include "terrain-samples/generator/deliver.h"

#include <cmath>
#include <filesystem>
#include <string>

namespace brae::test {

enum class Delivery { tripod, lidar, raster, levels };
inline const char* to_text(Delivery d) {
    constexpr const char* names[] = {"tripod", "lidar", "raster", "levels"};
    return names[static_cast<int>(d)];
}

// Noise of a cloud relative to that of the samples, which is also what the program expects of the method.
struct NoiseChange { double independent = 1, correlated = 1, length = 1; };
inline samples::CloudKind changed(samples::CloudKind kind, const NoiseChange& change) {
    kind.independent_m *= change.independent, kind.correlated_m *= change.correlated, kind.correlation_length *= change.length;
    return kind;
}

// Counts over cells; shares and root mean squares are asked for. Heights m, slopes ratios.
struct Coverage {
    double n = 0, h1 = 0, h2 = 0, s1 = 0, s2 = 0, height_sq = 0, slope_sq = 0;
    double height_rms() const { return std::sqrt(height_sq / n); }
    double slope_rms() const { return std::sqrt(slope_sq / n); }
    void add(double dh, double height_se, double ds, double slope_se) {
        n += 1, height_sq += dh * dh, slope_sq += ds * ds;
        h1 += std::abs(dh) <= height_se, h2 += std::abs(dh) <= 2 * height_se;
        s1 += std::abs(ds) <= slope_se, s2 += std::abs(ds) <= 2 * slope_se;
    }
    void add(const Coverage& o) {
        n += o.n, h1 += o.h1, h2 += o.h2, s1 += o.s1, s2 += o.s2, height_sq += o.height_sq, slope_sq += o.slope_sq;
    }
};

// Off the tiers and at them: within 3.5 m of the middle line, where 2.6 % of the rise are left on either side.
struct ZonedCoverage { Coverage off, tier; };
inline bool at_tier(const samples::SampleGreen& green, Vec2 p) {
    return !green.strings.empty() && std::abs(p.y - 1.5 - 0.22 * p.x - 0.012 * p.x * p.x) < 3.5;
}

// The green surveyed again with the noise of `seed`, read as a user would who tells no method. A change of the noise is
// for clouds.
inline TerrainModel survey_again(samples::SampleGreen green, Delivery delivery, std::uint64_t seed, const std::filesystem::path& folder,
                                 const NoiseChange& change = {}) {
    green.seed = seed;
    ReadOptions options;
    std::filesystem::path file = folder / "levels.csv";
    switch (delivery) {
        case Delivery::tripod: write_cloud(green, changed(samples::tripod_scan(), change), file = folder / "tripod.ply"); break;
        case Delivery::lidar: write_cloud(green, changed(samples::lidar(), change), file = folder / "lidar.ply"); break;
        case Delivery::raster: write_raster(green, file = folder / "dtm.tif"); break;
        case Delivery::levels: write_levels(green, file); break;
    }
    if (delivery != Delivery::levels) {
        options.outline = folder / "outline.geojson";
        write_outline(green, *options.outline);
    }
    if (delivery != Delivery::raster) options.crs = green.crs;
    Progress progress;
    Survey survey = read_survey({file}, options, progress);
    clean_survey(survey, progress);
    return build_terrain(survey, {}, progress);
}

inline void add_coverage(ZonedCoverage& out, const samples::SampleGreen& green, const TerrainModel& t) {
    const Outline edge(green.outline, OutlineSource::file);
    const Raster& h = t.grid.height;
    const double scale = t.frame.spec().scale_factor;  // ground slopes are map slopes times this
    const double zero = t.frame.spec().origin_height_m - green.datum;
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i) {
            if (!t.grid.has(i, j)) continue;
            const Vec2 c = h.centre(i, j), p = t.frame.to_map(c) - green.origin;
            if (edge.signed_distance(p) < 1) continue;
            const SurfaceJet got = t.surface->jet(c.x, c.y), want = green.jet(p.x, p.y);
            Coverage& zone = at_tier(green, p) ? out.tier : out.off;
            const double local_scale = t.frame.spec().local_tm ? scale : 1;
            zone.add(got.h + zero - want.h, t.grid.height_se.at(i, j), slope_ratio(got) - local_scale * slope_ratio(want),
                     t.grid.slope_se.at(i, j));
        }
}

}  // namespace brae::test
