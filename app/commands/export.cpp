// brae export: the green in the formats of other programs; the ending of the name says which.
#include "app/commands/output.h"
#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/export/drawing_file.h"
#include "core/export/line_file.h"
#include "core/export/raster_file.h"
#include "core/export/surface_mesh_file.h"
#include "core/terrain/slope.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <limits>
#include <nlohmann/json.hpp>

namespace brae::app {
namespace {

constexpr const char* kEndings[] = {".tif", ".asc", ".ply", ".obj", ".glb", ".dxf", ".geojson"};

// Heights over the survey's datum on the model's cells; without data outside the green.
Raster heights(const TerrainModel& terrain) {
    Raster out = terrain.grid.height;
    for (std::size_t k = 0; k < out.values.size(); ++k)
        out.values[k] = terrain.grid.mask[k] ? out.values[k] + terrain.frame.spec().origin_height_m : std::numeric_limits<double>::quiet_NaN();
    return out;
}

}  // namespace

int run_export(const ExportArguments& a) {
    const std::string ending = std::filesystem::path(a.out).extension().string();
    if (std::find(std::begin(kEndings), std::end(kEndings), ending) == std::end(kEndings)) {
        std::string names;
        for (const char* e : kEndings) names += (names.empty() ? "" : ", ") + std::string(e);
        throw usage_error(fmt::format("--out: found '{}', a name that ends in one of {} is wanted", a.out, names));
    }
    check_output(a.out, {a.green}, ending);
    if (a.spacing_m > 0 && ending != ".ply" && ending != ".obj" && ending != ".glb")
        throw usage_error(fmt::format("--spacing: found with {}, a mesh (.ply, .obj or .glb) is wanted", ending));
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const TerrainModel& terrain = *green.terrain;

    std::string what;
    if (ending == ".tif" || ending == ".asc") {
        const Raster grid = heights(terrain);
        if (ending == ".tif") write_raster_file(grid, terrain.frame, "elevation, m", a.out);
        else write_ascii_grid(grid, terrain.frame, a.out);
        what = fmt::format("{} x {} cells of {:.2f} m", grid.columns, grid.rows, grid.cell);
    } else if (ending == ".dxf") {
        write_drawing(green, a.contour_interval_m, a.out, terminal.progress());
        what = fmt::format("contours every {:.3g} m", a.contour_interval_m);
    } else if (ending == ".geojson") {
        const std::vector<NamedLine> lines = named_contours(contours(terrain, a.contour_interval_m, terminal.progress()), terrain.frame.spec().origin_height_m);
        write_lines_geojson(lines, terrain.frame, a.out);
        what = fmt::format("{} contours every {:.3g} m", lines.size(), a.contour_interval_m);
    } else {
        const TriangleMesh mesh = triangulate(terrain, a.spacing_m, terminal.progress());
        write_mesh_file(mesh, a.out);
        what = fmt::format("{} vertices, {} triangles, local metres", mesh.vertices.size(), mesh.triangles.size());
    }
    terminal.finish();
    if (a.json) {
        print_json({{"file", a.out}, {"what", what}});
        return 0;
    }
    fmt::print("written {}: {}\n", a.out, what);
    return 0;
}

}  // namespace brae::app
