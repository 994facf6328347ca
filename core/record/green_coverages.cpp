// The rasters of a green file through GDAL: Float32 TIFF tiles as 2d gridded coverages, and their coordinate system.
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/record/green_tables.h"
#include "core/survey/gdal_support.h"

#include <cmath>
#include <cpl_conv.h>
#include <cpl_string.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <memory>
#include <ogr_spatialref.h>

namespace brae {
namespace {

// A setting of GDAL for this thread and this block only.
class LocalOption {
public:
    LocalOption(const char* key, const char* value) : key_(key) {
        if (const char* old = CPLGetThreadLocalConfigOption(key, nullptr)) old_ = old, had_ = true;
        CPLSetThreadLocalConfigOption(key, value);
    }
    ~LocalOption() { CPLSetThreadLocalConfigOption(key_, had_ ? old_.c_str() : nullptr); }
    LocalOption(const LocalOption&) = delete;
    LocalOption& operator=(const LocalOption&) = delete;

private:
    const char* key_;
    std::string old_;
    bool had_ = false;
};

OGRSpatialReference system_of(const std::string& wkt) {
    OGRSpatialReference system;
    if (system.importFromWkt(wkt.c_str()) != OGRERR_NONE)
        throw Error("the green's coordinate system cannot be read; well-known text that PROJ understands is wanted");
    system.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    system.StripVertical();
    return system;
}

// The value of cells without data, as in most elevation files; readers learn it from the coverage's own record.
constexpr double kNoData = -9999;

struct Coverage { const char *table, *title, *unit, *quantity; const Raster* raster; double add; };

void write_coverage(const Coverage& c, const TerrainModel& terrain, const FileFrame& frame,
                    const std::filesystem::path& file, bool first) {
    const QuietGdal quiet;
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
    if (driver == nullptr) throw Error("this GDAL cannot write GeoPackages: its GPKG driver is missing");

    CPLStringList options;
    options.SetNameValue("TILE_FORMAT", "TIFF");
    options.SetNameValue("RASTER_TABLE", c.table);
    options.SetNameValue("RASTER_IDENTIFIER", c.table);
    options.SetNameValue("RASTER_DESCRIPTION", c.title);
    options.SetNameValue("GRID_CELL_ENCODING", "grid-value-is-area");
    options.SetNameValue("UOM", c.unit);
    options.SetNameValue("FIELD_NAME", c.quantity);
    options.SetNameValue("QUANTITY_DEFINITION", c.quantity);
    if (!first) options.SetNameValue("APPEND_SUBDATASET", "YES");
    const Raster& r = *c.raster;
    std::unique_ptr<GDALDataset> out(
        driver->Create(file.c_str(), r.columns, r.rows, 1, GDT_Float32, options.List()));
    if (!out) throw Error(fmt::format("cannot write {}: {}", file.string(), quiet.why()));

    // North row first, as rasters in files are.
    const Vec2 corner = frame.to_file({r.x0, r.y0 + r.rows * r.cell});
    const double cell = r.cell / frame.unit;
    double place[6] = {corner.x, cell, 0, corner.y, 0, -cell};
    if (out->SetGeoTransform(place) != CE_None)
        throw Error(fmt::format("cannot write {}: {}", file.string(), quiet.why()));
    if (!frame.wkt.empty()) {
        const OGRSpatialReference system = system_of(frame.wkt);
        out->SetSpatialRef(&system);
    }
    GDALRasterBand* band = out->GetRasterBand(1);
    band->SetNoDataValue(kNoData);
    std::vector<float> row(static_cast<std::size_t>(r.columns));
    CPLErr state = CE_None;
    for (int j = 0; j < r.rows && state == CE_None; ++j) {
        const int south = r.rows - 1 - j;
        for (int i = 0; i < r.columns; ++i)
            row[static_cast<std::size_t>(i)] =
                static_cast<float>(terrain.grid.has(i, south) ? r.at(i, south) + c.add : kNoData);
        state = band->RasterIO(GF_Write, 0, j, r.columns, 1, row.data(), r.columns, 1, GDT_Float32, 0, 0, nullptr);
    }
    // Closing writes the last tiles; what goes wrong there is only heard by the handler.
    out.reset();
    if (state != CE_None || quiet.failed())
        throw Error(fmt::format("cannot write {}: {}", file.string(), quiet.why()));
}

}  // namespace

FileFrame file_frame(const FrameSpec& spec) {
    if (spec.crs_wkt.empty()) return {{}, spec.origin_map, spec.metres_per_unit, -1};
    const QuietGdal quiet;
    const OGRSpatialReference survey = system_of(spec.crs_wkt);
    const auto wkt_of = [](const OGRSpatialReference& system) {
        char* text = nullptr;
        const char* const form[] = {"FORMAT=WKT2_2019", nullptr};
        system.exportToWkt(&text, form);
        const std::string out = text != nullptr ? text : "";
        CPLFree(text);
        return out;
    };
    if (!spec.local_tm) return {wkt_of(survey), spec.origin_map, spec.metres_per_unit, -1};

    // Local metres lie on the survey's own datum with scale 1 at the green, turned so that y is the survey's grid north.
    // Without a turn that is a transverse Mercator. With one it is the oblique Mercator through the same centre: both
    // are conformal with scale 1 there, so they differ by d^3 / R^2, under 1e-7 m within 100 m.
    const std::unique_ptr<OGRSpatialReference> geographic(survey.CloneGeogCS());
    if (!geographic) throw Error("the green's coordinate system has no geographic base to build local metres on");
    const double unit = geographic->GetAngularUnits() / radians(1.0);
    const double lat = spec.centre_lat_deg / unit, lon = spec.centre_lon_deg / unit;
    const auto local_metres = [&](double false_east, double false_north) {
        OGRSpatialReference system;
        system.SetProjCS("Local metres of the green");
        bool fine = system.CopyGeogCSFrom(geographic.get()) == OGRERR_NONE;
        if (std::abs(spec.convergence_deg) < 1e-9) {
            fine = fine && system.SetTM(lat, lon, 1.0, false_east, false_north) == OGRERR_NONE;
        } else {
            const double azimuth = 45, grid_bearing = azimuth - spec.convergence_deg;
            fine = fine && system.SetHOMAC(lat, lon, azimuth / unit, grid_bearing / unit, 1.0, false_east,
                                           false_north) == OGRERR_NONE;
        }
        if (!fine) throw Error("the green's local metres cannot be written as a coordinate system: " + quiet.why());
        system.SetLinearUnits(SRS_UL_METER, 1.0);
        system.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        return system;
    };
    // The false origin that puts (0, 0) where the green's local origin lies.
    const OGRSpatialReference plain = local_metres(0, 0);
    const std::unique_ptr<OGRCoordinateTransformation> to_plain(OGRCreateCoordinateTransformation(&survey, &plain));
    double x = spec.origin_map.x, y = spec.origin_map.y;
    if (!to_plain || !to_plain->Transform(1, &x, &y))
        throw Error("the green's origin cannot be placed in its coordinate system: " + quiet.why());
    return {wkt_of(local_metres(-x, -y)), {0, 0}, 1.0, -1};
}

void write_coverages(const TerrainModel& terrain, const FileFrame& frame, const std::filesystem::path& file) {
    register_survey_drivers();
    const LocalOption date("OGR_CURRENT_DATE", kUnchangingDate);
    // A part that is synced as a whole before it counts, or thrown away: no waiting for the disk after every step.
    const LocalOption quick("OGR_SQLITE_SYNCHRONOUS", "OFF");
    const ElevationModel& g = terrain.grid;
    const Coverage coverages[] = {
        {"elevation", "Height of the turf in the survey's vertical datum", "m", "Height", &g.height,
         terrain.frame.spec().origin_height_m},
        {"elevation_standard_error", "One standard error of the height", "m", "Standard error of height",
         &g.height_se, 0},
        {"slope_standard_error", "One standard error of the slope, as a ratio", "1", "Standard error of slope",
         &g.slope_se, 0}};
    bool first = true;
    for (const Coverage& c : coverages) {
        write_coverage(c, terrain, frame, file, first);
        first = false;
    }
}

void copy_coverages(Database& from, Database& db) {
    for (const char* table : {"elevation", "elevation_standard_error", "slope_standard_error"}) {
        // The tiles that hold data are others, and with them their rows of statistics.
        Statement old(db, "DELETE FROM gpkg_2d_gridded_tile_ancillary WHERE tpudt_name = ?");
        old.put(table).go();
        db.run(fmt::format("DELETE FROM {}", table));
        Statement tile(db, fmt::format("INSERT INTO {} (id, zoom_level, tile_column, tile_row, tile_data) VALUES (?, ?, ?, ?, ?)", table));
        Statement tiles(from, fmt::format("SELECT id, zoom_level, tile_column, tile_row, tile_data FROM {} ORDER BY id", table));
        while (tiles.row()) {
            for (int k = 0; k < 4; ++k) tile.put(tiles.integer());
            tile.put(tiles.bytes()).go();
        }
        Statement note(db, "INSERT INTO gpkg_2d_gridded_tile_ancillary (tpudt_name, tpudt_id, scale, offset, min, max, mean, std_dev) "
                           "VALUES (?, ?, ?, ?, ?, ?, ?, ?)");
        Statement notes(from, "SELECT tpudt_id, scale, offset, min, max, mean, std_dev FROM gpkg_2d_gridded_tile_ancillary WHERE tpudt_name = ? ORDER BY id");
        notes.put(table);
        while (notes.row()) {
            note.put(table).put(notes.integer());
            for (int k = 0; k < 6; ++k)
                if (const double value = notes.number_or_nan(); std::isnan(value)) note.put_null();
                else note.put(value);
            note.go();
        }
    }
}

}  // namespace brae
