#include "core/survey/read_raster.h"

#include "core/base/constants.h"
#include "core/survey/gdal_support.h"
#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <array>
#include <cctype>
#include <cmath>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <limits>
#include <memory>
#include <ogr_spatialref.h>

namespace brae {

namespace {

// Larger rasters than this are refused: cut out the green first.
constexpr double kMostCells = 60e6;
// No ground lies higher or deeper, in any unit of length; undeclared no-data values do.
constexpr double kHighestGround = 1e5;

struct CloseDataset {
    void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};

// GDAL takes text in an ASCII grid for zeros and short files for no-data; here both are named.
void check_ascii_grid(const std::filesystem::path& path, double cells, Progress& progress) {
    const std::string name = path.string();
    const MappedFile file(path);
    LineReader lines(file.bytes());
    double values = 0;
    std::string_view line;
    bool in_header = true;
    while (lines.next(line)) {
        if ((lines.number() & 0x3f) == 0)
            progress.step(0.5 * static_cast<double>(lines.offset()) / static_cast<double>(file.bytes().size()), "checking " + name);
        // Header lines start with a letter.
        const std::string_view text = trimmed(line);
        if (in_header && !text.empty() && std::isalpha(static_cast<unsigned char>(text.front())) && lower_case(text).rfind("nan", 0) != 0)
            continue;
        in_header = in_header && text.empty();
        for (std::size_t i = 0; i < text.size();) {
            std::size_t end = i;
            while (end < text.size() && text[end] != ' ' && text[end] != '\t') ++end;
            if (end > i) {
                const std::string_view field = text.substr(i, end - i);
                if (!parse_number(field) && !parse_number(field, true))
                    throw Error(fmt::format("'{}', line {}: {} where a number is wanted", name, lines.number(), quote(field)));
                ++values;
            }
            i = end + 1;
        }
    }
    if (values != cells)
        throw Error(fmt::format("'{}' says {:.0f} cells, holds {:.0f}; the file is cut short or its header is wrong", name, cells, values));
}

}  // namespace

RawSurvey read_raster(const std::filesystem::path& path, Progress& progress) {
    const std::string name = path.string();
    register_survey_drivers();
    const QuietGdal quiet;
    const std::string absolute = std::filesystem::absolute(path).string();
    const std::unique_ptr<GDALDataset, CloseDataset> dataset(static_cast<GDALDataset*>(
        GDALOpenEx(absolute.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY, kRasterDrivers, nullptr, nullptr)));
    if (!dataset)
        throw Error(fmt::format("'{}' cannot be read as GeoTIFF, ESRI, Surfer or SAGA grid{}{}", name, quiet.message().empty() ? "" : ": ",
                                quiet.message()));
    const int columns = dataset->GetRasterXSize(), rows = dataset->GetRasterYSize(), bands = dataset->GetRasterCount();
    if (bands < 1) throw Error(fmt::format("'{}' has no band; one band of heights is wanted", name));
    GDALRasterBand& band = *dataset->GetRasterBand(1);
    if (bands >= 3 && band.GetRasterDataType() == GDT_Byte)
        throw Error(fmt::format("'{}' is a picture of {} bands of bytes; one band of heights is wanted", name, bands));
    const double cells = static_cast<double>(columns) * rows;
    if (cells > kMostCells)
        throw Error(fmt::format("'{}' has {} x {} cells, more than {:.0f} million; cut out the green first", name, columns, rows,
                                kMostCells / 1e6));
    std::array<double, 6> t{};
    if (dataset->GetGeoTransform(t.data()) != CE_None || !std::isfinite(t[0] + t[3]) || t[1] * t[5] - t[2] * t[4] == 0)
        throw Error(fmt::format("'{}' does not say where it lies; a raster with a position and cell size is wanted", name));
    if (std::string(dataset->GetDriverName()) == "AAIGrid") check_ascii_grid(path, cells, progress);

    RawSurvey raw;
    raw.path = path;
    raw.kind = RawSurvey::Kind::raster;
    raw.rows = static_cast<std::size_t>(cells);
    raw.cell_column = {t[1], t[4]};
    raw.cell_row = {t[2], t[5]};
    if (bands > 1) raw.warnings.push_back(fmt::format("'{}' has {} bands; the first is taken for heights", name, bands));
    if (const OGRSpatialReference* srs = dataset->GetSpatialRef()) {
        const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
        char* text = nullptr;
        srs->exportToWkt(&text, options);
        if (text) raw.crs = text;
        CPLFree(text);
    }
    raw.metres_per_height = metres_in_unit(band.GetUnitType() ? band.GetUnitType() : "");

    // Row by row, cell centres; what is no-data, not a number or no height on earth is left out.
    int has_no_data = 0;
    const double no_data = band.GetNoDataValue(&has_no_data);
    const bool is_float = band.GetRasterDataType() == GDT_Float32;
    const double scale = band.GetScale(), offset = band.GetOffset();
    std::vector<double> line(static_cast<std::size_t>(columns));
    std::size_t unreal = 0;
    for (int j = 0; j < rows; ++j) {
        progress.step(0.5 + 0.5 * j / rows, "reading " + name);
        if (band.RasterIO(GF_Read, 0, j, columns, 1, line.data(), columns, 1, GDT_Float64, 0, 0) != CE_None)
            // That bytes are missing is said below; a packing that this machine lacks is worth naming.
            throw Error(fmt::format("'{}' cannot be read at row {}{}; the file is cut short or damaged", name, j + 1,
                                    quiet.message().empty() || quiet.message().find("ead error") != std::string::npos ? "" : ": " + quiet.message()));
        for (int i = 0; i < columns; ++i) {
            const double v = line[static_cast<std::size_t>(i)];
            if (!std::isfinite(v)) continue;
            if (has_no_data && (v == no_data || (is_float && static_cast<float>(v) == static_cast<float>(no_data)))) continue;
            const double z = v * scale + offset;
            if (std::abs(z) > kHighestGround) {
                ++unreal;
                continue;
            }
            const double c = i + 0.5, r = j + 0.5;
            raw.points.push_back({t[0] + c * t[1] + r * t[2], t[3] + c * t[4] + r * t[5], z});
        }
    }
    if (raw.points.empty()) throw Error(fmt::format("'{}' holds no data: all {} x {} cells are no-data", name, columns, rows));
    if (unreal > 0)
        raw.warnings.push_back(fmt::format("'{}' has {} cells beyond {:.0f} in height, taken for no-data", name, unreal, kHighestGround));
    if (is_float) warn_of_steps(raw, false, true);
    return raw;
}

}  // namespace brae
