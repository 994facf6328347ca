#include "core/export/raster_file.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/record/green_tables.h"
#include "core/survey/gdal_support.h"

#include <cmath>
#include <fmt/format.h>
#include <gdal_frmts.h>
#include <gdal_priv.h>
#include <memory>
#include <ogr_spatialref.h>

namespace brae {

void write_raster_file(const Raster& raster, const Frame& frame, const std::string& description,
                       const std::filesystem::path& file) {
    if (raster.empty()) throw Error(fmt::format("cannot write {}: there are no cells", file.string()));
    register_survey_drivers();
    const QuietGdal quiet;
    const FileFrame place = file_frame(frame.spec());

    // GDAL wants the name to end in .tif, so the driver of the part, which ends otherwise, is named outright.
    PartFile part(file);
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    const char* const options[] = {"COMPRESS=DEFLATE", "PREDICTOR=3", nullptr};
    std::unique_ptr<GDALDataset> out(driver->Create(part.part().c_str(), raster.columns, raster.rows, 1, GDT_Float32,
                                                    const_cast<char**>(options)));
    if (!out) throw Error(fmt::format("cannot write {}: {}", file.string(), quiet.why()));

    // North row first, as rasters in files are.
    const Vec2 corner = place.to_file({raster.x0, raster.y0 + raster.rows * raster.cell});
    const double cell = raster.cell / place.unit;
    double geo[6] = {corner.x, cell, 0, corner.y, 0, -cell};
    out->SetGeoTransform(geo);
    if (!place.wkt.empty()) {
        OGRSpatialReference system;
        system.importFromWkt(place.wkt.c_str());
        system.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        out->SetSpatialRef(&system);
    }
    GDALRasterBand* band = out->GetRasterBand(1);
    constexpr float none = -9999;
    band->SetNoDataValue(none);
    band->SetDescription(description.c_str());
    std::vector<float> row(static_cast<std::size_t>(raster.columns));
    CPLErr state = CE_None;
    for (int j = 0; j < raster.rows && state == CE_None; ++j) {
        for (int i = 0; i < raster.columns; ++i) {
            const double v = raster.at(i, raster.rows - 1 - j);
            row[static_cast<std::size_t>(i)] = std::isfinite(v) ? static_cast<float>(v) : none;
        }
        state = band->RasterIO(GF_Write, 0, j, raster.columns, 1, row.data(), raster.columns, 1, GDT_Float32, 0, 0, nullptr);
    }
    // Closing writes the last strips; what goes wrong there is only heard by the handler.
    out->FlushCache();
    out.reset();
    if (state != CE_None || quiet.failed()) throw Error(fmt::format("cannot write {}: {}", file.string(), quiet.why()));
    part.commit();
}

}  // namespace brae
