#include "core/survey/read_raster.h"

#include "tests/core/survey/survey_files.h"

#include <gdal_priv.h>
#include <ogr_spatialref.h>

using namespace brae;
using namespace brae::test;

namespace {

// A 12 x 10 raster whose cell (i, j from the north) is 100 + i + 0.1 j, with two cells of no-data.
std::string ascii_grid(const std::string& row_three = "") {
    std::string text = "ncols 12\nnrows 10\nxllcorner 484958\nyllcorner 6632656\ncellsize 0.5\nNODATA_value -9999\n";
    for (int j = 0; j < 10; ++j) {
        if (j == 3 && !row_three.empty()) {
            text += row_three + "\n";
            continue;
        }
        for (int i = 0; i < 12; ++i) text += (j == 0 && i < 2) ? "-9999 " : fmt::format("{:.2f} ", 100 + 0.01 * i + 0.001 * j);
        text += "\n";
    }
    return text;
}

void write_tiff(const fs::path& path, GDALDataType type, int bands, const char* crs, double no_data, bool all_empty, const char* unit = "") {
    GDALAllRegister();
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    GDALDataset* dataset = driver->Create(path.c_str(), 12, 10, bands, type, nullptr);
    double t[6] = {484958, 0.5, 0, 6632661, 0, -0.5};
    dataset->SetGeoTransform(t);
    if (*crs) {
        OGRSpatialReference srs;
        srs.SetFromUserInput(crs);
        dataset->SetSpatialRef(&srs);
    }
    dataset->GetRasterBand(1)->SetNoDataValue(no_data);
    if (*unit) dataset->GetRasterBand(1)->SetUnitType(unit);
    for (int j = 0; j < 10; ++j) {
        std::vector<double> row(12);
        for (int i = 0; i < 12; ++i) row[static_cast<std::size_t>(i)] = all_empty || (j == 0 && i < 2) ? no_data : 100 + 0.01 * i + 0.001 * j;
        for (int b = 1; b <= bands; ++b)
            REQUIRE(dataset->GetRasterBand(b)->RasterIO(GF_Write, 0, j, 12, 1, row.data(), 12, 1, GDT_Float64, 0, 0) == CE_None);
    }
    GDALClose(dataset);
}

}  // namespace

TEST_CASE("cell centres become points, no-data is left out and the .prj beside an ASCII grid counts") {
    const Scratch scratch;
    write_file(scratch / "g.asc", ascii_grid());
    const Survey bare = read(scratch / "g.asc");
    CHECK(bare.points.size() == 118);
    CHECK(bare.points_read == 120);
    CHECK(bare.method == SurveyMethod::grid);
    CHECK(*bare.grid_spacing_m == doctest::Approx(0.5));
    CHECK(bare.frame.spec().origin_map == Vec2{484958, 6632656});
    CHECK(bare.points[0].x == doctest::Approx(1.25));
    CHECK(bare.points[0].y == doctest::Approx(4.75));
    CHECK(bare.points[0].z + bare.frame.spec().origin_height_m == doctest::Approx(100.02));
    CHECK_FALSE(bare.frame.has_crs());

    OGRSpatialReference srs;
    srs.importFromEPSG(2154);
    char* text = nullptr;
    const char* const esri[] = {"FORMAT=WKT1_ESRI", nullptr};
    srs.exportToWkt(&text, esri);
    write_file(scratch / "g.prj", text);
    CPLFree(text);
    const Survey placed = read(scratch / "g.asc");
    CHECK(placed.frame.spec().crs_name == "EPSG:2154");
    CHECK(placed.frame.spec().local_tm);
}

TEST_CASE("GeoTIFF gives its heights, system and units") {
    const Scratch scratch;
    write_tiff(scratch / "a.tif", GDT_Float64, 1, "EPSG:2154", -9999, false);
    const Survey a = read(scratch / "a.tif");
    REQUIRE(a.points.size() == 118);
    CHECK(a.points[117].z + a.frame.spec().origin_height_m == doctest::Approx(100 + 0.11 + 0.009));
    CHECK(distance(a.frame.to_map({a.points[117].x, a.points[117].y}), {484958 + 5.75, 6632656 + 0.25}) < 1e-4);

    write_tiff(scratch / "ft.tif", GDT_Float32, 1, "", -3.4028234663852886e38, false, "ft");
    const Survey b = read(scratch / "ft.tif");
    REQUIRE(b.points.size() == 118);
    CHECK(b.points[0].z + b.frame.spec().origin_height_m == doctest::Approx(0.3048 * 100.02).epsilon(1e-6));
}

TEST_CASE("pictures, empty rasters, broken grids and other drivers are refused") {
    const Scratch scratch;
    write_tiff(scratch / "rgb.tif", GDT_Byte, 3, "", 0, false);
    CHECK(says(failure(scratch / "rgb.tif"), "picture of 3 bands"));
    write_tiff(scratch / "none.tif", GDT_Float32, 1, "", -9999, true);
    CHECK(says(failure(scratch / "none.tif"), "all 12 x 10 cells are no-data"));
    write_file(scratch / "text.asc", ascii_grid("1 2 three 4 5 6 7 8 9 10 11 12"));
    CHECK(says(failure(scratch / "text.asc"), "line 10: 'three'"));
    const std::string whole = ascii_grid();
    write_file(scratch / "short.asc", whole.substr(0, whole.size() / 2));
    CHECK_FALSE(failure(scratch / "short.asc").empty());
    // A virtual raster could name other files and the network.
    write_file(scratch / "v.tif", "<VRTDataset rasterXSize=\"10\" rasterYSize=\"10\"><VRTRasterBand dataType=\"Float32\" band=\"1\"/></VRTDataset>");
    CHECK(says(failure(scratch / "v.tif"), "leads to other files or addresses"));
    // Half a GeoTIFF.
    write_tiff(scratch / "cut.tif", GDT_Float64, 1, "EPSG:2154", -9999, false);
    fs::resize_file(scratch / "cut.tif", fs::file_size(scratch / "cut.tif") / 2);
    CHECK_FALSE(failure(scratch / "cut.tif").empty());
}

TEST_CASE("grids of other programs give the heights of the GeoTIFF that they were made of") {
    const Scratch scratch;
    write_tiff(scratch / "a.tif", GDT_Float32, 1, "EPSG:2154", -9999, false);
    const Survey tiff = read(scratch / "a.tif");
    for (const auto& [driver, file] : std::vector<std::pair<const char*, const char*>>{
             {"GSAG", "ascii.grd"}, {"GSBG", "six.grd"}, {"GS7BG", "seven.grd"}, {"SAGA", "saga.sdat"}, {"EHdr", "esri.bil"}}) {
        CAPTURE(driver);
        GDALDataset* source = GDALDataset::Open((scratch / "a.tif").c_str());
        GDALDataset* copy = GetGDALDriverManager()->GetDriverByName(driver)->CreateCopy((scratch / file).c_str(), source, FALSE, nullptr, nullptr, nullptr);
        GDALClose(source);
        REQUIRE(copy);
        GDALClose(copy);
        const Survey grid = read(scratch / file);
        REQUIRE(grid.points.size() == tiff.points.size());
        double worst = 0;
        for (std::size_t k = 0; k < grid.points.size(); ++k) {
            const Vec2 a = grid.frame.to_map({grid.points[k].x, grid.points[k].y}), b = tiff.frame.to_map({tiff.points[k].x, tiff.points[k].y});
            worst = std::max({worst, distance(a, b), std::abs(grid.points[k].z + grid.frame.spec().origin_height_m - tiff.points[k].z -
                                                              tiff.frame.spec().origin_height_m)});
        }
        CHECK(worst < 1e-3);
    }
}
