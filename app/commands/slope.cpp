// brae slope: how steep the green is, and the maps and lines of it as files.
#include "app/commands/output.h"
#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/export/line_file.h"
#include "core/export/raster_file.h"
#include "core/terrain/build_terrain.h"
#include "core/terrain/slope.h"

#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

int run_slope(const SlopeArguments& a) {
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const TerrainModel& terrain = *green.terrain;
    const SlopeSummary summary = slope_summary(terrain);

    std::vector<std::string> files;
    if (!a.out.empty()) {
        const std::filesystem::path folder = a.out;
        std::error_code fault;
        std::filesystem::create_directories(folder, fault);
        if (fault) throw Error(fmt::format("--out: the folder {} cannot be made: {}", a.out, fault.message()));
        const auto keep = [&](const std::string& name) {
            files.push_back((folder / name).string());
            return folder / name;
        };
        for (const char* name : {"slope.tif", "aspect.tif", "curvature.tif", "contours.geojson", "fall-lines.geojson"})
            check_output(folder / name, {a.green}, std::filesystem::path(name).extension().string());
        const SlopeRasters rasters = slope_rasters(terrain);
        Raster slope_pct = rasters.slope;
        for (double& v : slope_pct.values) v = percent(v);
        write_raster_file(slope_pct, terrain.frame, "slope, percent", keep("slope.tif"));
        write_raster_file(rasters.aspect_deg, terrain.frame, "downhill bearing, degrees", keep("aspect.tif"));
        write_raster_file(rasters.profile_curvature, terrain.frame, "profile curvature, 1/m", keep("curvature.tif"));

        write_lines_geojson(named_contours(contours(terrain, a.contour_interval_m, terminal.progress()), terrain.frame.spec().origin_height_m),
                            terrain.frame, keep("contours.geojson"));
        std::vector<NamedLine> lines;
        for (const auto& f : fall_lines(terrain, a.line_spacing_m, terminal.progress())) lines.push_back({{}, f.points, false});
        write_lines_geojson(lines, terrain.frame, keep("fall-lines.geojson"));
    }

    terminal.finish();
    if (a.json) {
        print_json({{"median_pct", tidy(percent(summary.median))},
                    {"p90_pct", tidy(percent(summary.p90))},
                    {"max_pct", tidy(percent(summary.max))},
                    {"median_se_pct", tidy(percent(summary.median_se))},
                    {"files", files},
                    {"warnings", terrain.warnings}});
        return 0;
    }
    fmt::print("slope   median {:.1f} % (standard error {:.2f}), 90 % of the green under {:.1f} %, steepest {:.1f} %\n",
               percent(summary.median), percent(summary.median_se), percent(summary.p90), percent(summary.max));
    for (const auto& f : files) fmt::print("written {}\n", f);
    return 0;
}

}  // namespace brae::app
