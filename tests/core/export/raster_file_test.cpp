#include "core/export/raster_file.h"

#include "core/base/error.h"
#include "tests/support/support.h"

#include <cmath>
#include <gdal_priv.h>
#include <memory>

using namespace brae;

TEST_CASE("a raster comes back from the GeoTIFF north up, aligned, with gaps as no-data") {
    const test::Scratch scratch;
    Raster r(3, 2, 10, 20, 0.5);
    for (std::size_t k = 0; k < 6; ++k) r.values[k] = static_cast<double>(k);
    r.values[4] = std::nan("");
    write_raster_file(r, Frame(), "slope, percent", scratch / "r.tif");

    GDALAllRegister();
    const std::unique_ptr<GDALDataset> set(GDALDataset::Open((scratch / "r.tif").c_str()));
    REQUIRE(set);
    double geo[6];
    REQUIRE(set->GetGeoTransform(geo) == CE_None);
    CHECK(geo[0] == 10);
    CHECK(geo[3] == 21);
    CHECK(geo[1] == 0.5);
    CHECK(geo[5] == -0.5);
    float v[6];
    auto* band = set->GetRasterBand(1);
    REQUIRE(band->RasterIO(GF_Read, 0, 0, 3, 2, v, 3, 2, GDT_Float32, 0, 0) == CE_None);
    CHECK(v[0] == 3);       // the north-west cell is the first of the second row from the south
    CHECK(v[3] == 0);
    CHECK(v[1] == static_cast<float>(band->GetNoDataValue()));
    CHECK(std::string(band->GetDescription()) == "slope, percent");
    CHECK_FALSE(test::fs::exists(scratch / "r.tif.part"));
}

TEST_CASE("a raster that cannot be written leaves nothing behind") {
    const test::Scratch scratch;
    CHECK_THROWS_AS(write_raster_file(Raster(), Frame(), "", scratch / "r.tif"), Error);
    CHECK_THROWS_AS(write_raster_file(Raster(2, 2, 0, 0, 1), Frame(), "", scratch / "none/r.tif"), Error);
    CHECK_FALSE(test::fs::exists(scratch / "r.tif"));
}

TEST_CASE("several rasters become the named bands of one file") {
    const test::Scratch scratch;
    const Raster a(3, 2, 10, 20, 0.5, 1), b(3, 2, 10, 20, 0.5, 2), other(3, 3, 10, 20, 0.5, 2);
    write_raster_bands({{&a, "one, m"}, {&b, "two, s"}}, Frame(), scratch / "r.tif");
    GDALAllRegister();
    const std::unique_ptr<GDALDataset> set(GDALDataset::Open((scratch / "r.tif").c_str()));
    REQUIRE(set);
    REQUIRE(set->GetRasterCount() == 2);
    for (int n = 1; n <= 2; ++n) {
        float v = 0;
        auto* band = set->GetRasterBand(n);
        REQUIRE(band->RasterIO(GF_Read, 2, 1, 1, 1, &v, 1, 1, GDT_Float32, 0, 0) == CE_None);
        CHECK(v == static_cast<float>(n));
        CHECK(std::string(band->GetDescription()) == (n == 1 ? "one, m" : "two, s"));
    }
    CHECK_THROWS_AS(write_raster_bands({{&a, "one"}, {&other, "two"}}, Frame(), scratch / "s.tif"), Error);
    CHECK_THROWS_AS(write_raster_bands({}, Frame(), scratch / "s.tif"), Error);
    CHECK_FALSE(test::fs::exists(scratch / "s.tif"));
}
