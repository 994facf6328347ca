#include "core/terrain/slope.h"

#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

#include <cmath>
#include <gdal_priv.h>
#include <gdal_utils.h>
#include <memory>

using namespace brae;
using namespace brae::test;

TEST_CASE("Horn's slope is that of the usual GDAL tool, cell by cell") {
    Raster z(60, 40, 100, 200, 0.25);
    for (int j = 0; j < z.rows; ++j)
        for (int i = 0; i < z.columns; ++i) z.at(i, j) = rolling_green(z.centre(i, j).x, z.centre(i, j).y).h;
    const Raster ours = horn_slope(z, {});

    // The same raster in memory, north row first as GDAL wants it; oracle: GDAL 3.6 DEM processing, run here.
    GDALAllRegister();
    GDALDriver* memory = GetGDALDriverManager()->GetDriverByName("MEM");
    REQUIRE(memory != nullptr);
    const std::unique_ptr<GDALDataset> source(memory->Create("", z.columns, z.rows, 1, GDT_Float64, nullptr));
    double transform[6] = {z.x0, z.cell, 0, z.y0 + z.rows * z.cell, 0, -z.cell};
    source->SetGeoTransform(transform);
    std::vector<double> row(z.columns);
    for (int j = 0; j < z.rows; ++j) {
        for (int i = 0; i < z.columns; ++i) row[i] = z.at(i, z.rows - 1 - j);
        REQUIRE(source->GetRasterBand(1)->RasterIO(GF_Write, 0, j, z.columns, 1, row.data(), z.columns, 1, GDT_Float64, 0, 0) == CE_None);
    }
    char format[] = "-of", mem[] = "MEM", percent[] = "-p";
    char* arguments[] = {format, mem, percent, nullptr};
    GDALDEMProcessingOptions* options = GDALDEMProcessingOptionsNew(arguments, nullptr);
    const std::unique_ptr<GDALDataset> theirs(GDALDataset::FromHandle(
        GDALDEMProcessing("", GDALDataset::ToHandle(source.get()), "slope", nullptr, options, nullptr)));
    GDALDEMProcessingOptionsFree(options);
    REQUIRE(theirs);

    double off = 0;
    for (int j = 1; j + 1 < z.rows; ++j) {
        REQUIRE(theirs->GetRasterBand(1)->RasterIO(GF_Read, 0, z.rows - 1 - j, z.columns, 1, row.data(), z.columns, 1, GDT_Float64, 0, 0) == CE_None);
        for (int i = 1; i + 1 < z.columns; ++i) off = std::max(off, std::abs(100 * ours.at(i, j) - row[i]));
    }
    MESSAGE("largest difference " << off << " percentage points");
    CHECK(off < 0.001);
}

TEST_CASE("Horn's slope is exact on a plane and empty on the border and beside gaps") {
    Raster z(7, 6, 0, 0, 0.5);
    for (int j = 0; j < z.rows; ++j)
        for (int i = 0; i < z.columns; ++i) z.at(i, j) = 0.03 * z.centre(i, j).x - 0.04 * z.centre(i, j).y;
    std::vector<unsigned char> mask(z.values.size(), 1);
    mask[z.index(5, 4)] = 0;
    const Raster s = horn_slope(z, mask);
    for (int j = 0; j < z.rows; ++j)
        for (int i = 0; i < z.columns; ++i) {
            const bool edge = i == 0 || j == 0 || i == 6 || j == 5, gap = std::abs(i - 5) <= 1 && std::abs(j - 4) <= 1;
            if (edge || gap) CHECK(std::isnan(s.at(i, j)));
            else CHECK(s.at(i, j) == doctest::Approx(0.05).epsilon(1e-12));
        }
}
