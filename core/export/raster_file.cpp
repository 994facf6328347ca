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
    write_raster_bands({{&raster, description}}, frame, file);
}

void write_raster_bands(const std::vector<RasterBand>& bands, const Frame& frame, const std::filesystem::path& file) {
    if (bands.empty() || bands.front().raster->empty())
        throw Error(fmt::format("cannot write {}: there are no cells", file.string()));
    const Raster& raster = *bands.front().raster;
    for (const RasterBand& b : bands)
        if (b.raster->columns != raster.columns || b.raster->rows != raster.rows || b.raster->cell != raster.cell ||
            b.raster->x0 != raster.x0 || b.raster->y0 != raster.y0)
            throw Error(fmt::format("cannot write {}: the band '{}' has other cells than the first", file.string(), b.description));
    register_survey_drivers();
    const QuietGdal quiet;
    const FileFrame place = file_frame(frame.spec());

    // GDAL wants the name to end in .tif, so the driver of the part, which ends otherwise, is named outright.
    PartFile part(file);
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    const char* const options[] = {"COMPRESS=DEFLATE", "PREDICTOR=3", "INTERLEAVE=BAND", nullptr};
    std::unique_ptr<GDALDataset> out(driver->Create(part.part().c_str(), raster.columns, raster.rows, static_cast<int>(bands.size()), GDT_Float32,
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
    // The strips hold one band each.
    constexpr float none = -9999;
    std::vector<float> row(static_cast<std::size_t>(raster.columns));
    CPLErr state = CE_None;
    for (std::size_t n = 0; n < bands.size() && state == CE_None; ++n) {
        GDALRasterBand* band = out->GetRasterBand(static_cast<int>(n) + 1);
        band->SetNoDataValue(none);
        band->SetDescription(bands[n].description.c_str());
        for (int j = 0; j < raster.rows && state == CE_None; ++j) {
            for (int i = 0; i < raster.columns; ++i) {
                const double v = bands[n].raster->at(i, raster.rows - 1 - j);
                row[static_cast<std::size_t>(i)] = std::isfinite(v) ? static_cast<float>(v) : none;
            }
            state = band->RasterIO(GF_Write, 0, j, raster.columns, 1, row.data(), raster.columns, 1, GDT_Float32, 0, 0, nullptr);
        }
    }
    // Closing writes the last strips; what goes wrong there is only heard by the handler.
    out->FlushCache();
    out.reset();
    if (state != CE_None || quiet.failed()) throw Error(fmt::format("cannot write {}: {}", file.string(), quiet.why()));
    part.commit();
}

void write_ascii_grid(const Raster& raster, const Frame& frame, const std::filesystem::path& file) {
    if (raster.empty()) throw Error(fmt::format("cannot write {}: there are no cells", file.string()));
    const FileFrame place = file_frame(frame.spec());
    const Vec2 corner = place.to_file({raster.x0, raster.y0});
    std::string text = fmt::format("ncols {}\nnrows {}\nxllcorner {:.6f}\nyllcorner {:.6f}\ncellsize {:.9g}\nNODATA_value -9999\n",
                                   raster.columns, raster.rows, corner.x, corner.y, raster.cell / place.unit);
    for (int j = raster.rows - 1; j >= 0; --j)
        for (int i = 0; i < raster.columns; ++i) {
            const double v = raster.at(i, j);
            text += std::isfinite(v) ? fmt::format("{:.4f}", v) : std::string("-9999");
            text += i + 1 == raster.columns ? '\n' : ' ';
        }
    write_file_safely(file, text);
}

}  // namespace brae
