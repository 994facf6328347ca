#include "core/export/raster_file.h"

#include "core/base/error.h"
#include "tests/support/support.h"

#include <cmath>
#include <csignal>
#include <cstdlib>
#include <fstream>
#include <gdal_priv.h>
#include <iterator>
#include <memory>
#include <sys/resource.h>
#include <sys/wait.h>

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
    CHECK(std::distance(test::fs::directory_iterator(scratch.path()), test::fs::directory_iterator()) == 1);
}

TEST_CASE("a raster that cannot be written leaves nothing behind") {
    const test::Scratch scratch;
    CHECK_THROWS_AS(write_raster_file(Raster(), Frame(), "", scratch / "r.tif"), Error);
    CHECK_THROWS_AS(write_raster_file(Raster(2, 2, 0, 0, 1), Frame(), "", scratch / "none/r.tif"), Error);
    CHECK_FALSE(test::fs::exists(scratch / "r.tif"));
}

TEST_CASE("a disk that takes no more, up to the closing of the file, leaves the old one") {
    const test::Scratch scratch;
    const auto content = [](const test::fs::path& file) {
        std::ifstream in(file, std::ios::binary);
        return std::string(std::istreambuf_iterator<char>(in), {});
    };
    // Values that do not compress, so that the size of the file says how far the writing came.
    Raster r(150, 150, 0, 0, 0.25);
    for (std::size_t k = 0; k < r.values.size(); ++k) r.values[k] = std::sin(12.9898 * static_cast<double>(k)) * 43.758;
    const test::fs::path file = scratch / "r.tif";
    write_raster_file(r, Frame(), "slope", file);
    const std::string before = content(file);
    REQUIRE(before.size() > 20000);

    // A limit on the size of files stands in for a full disk; a child carries it so that nothing else feels it. The last
    // bytes are those that only closing writes.
    for (const rlim_t limit : {rlim_t{0}, rlim_t{4096}, static_cast<rlim_t>(before.size() / 2), static_cast<rlim_t>(before.size() - 1)}) {
        CAPTURE(limit);
        const pid_t child = fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            std::signal(SIGXFSZ, SIG_IGN);
            const rlimit l{limit, limit};
            setrlimit(RLIMIT_FSIZE, &l);
            try {
                write_raster_file(r, Frame(), "slope", file);
            } catch (const Error& e) {
                const std::string said = e.what();
                std::_Exit(said.find('\n') != std::string::npos || said.find("cannot write") == std::string::npos ? 2 : 0);
            }
            std::_Exit(1);
        }
        int status = 0;
        REQUIRE(waitpid(child, &status, 0) == child);
        CHECK(WIFEXITED(status));
        CHECK(WEXITSTATUS(status) == 0);
        CHECK(content(file) == before);
        CHECK(std::distance(test::fs::directory_iterator(scratch.path()), test::fs::directory_iterator()) == 1);
    }
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

TEST_CASE("an ESRI ASCII grid comes back through GDAL cell by cell") {
    const test::Scratch scratch;
    Raster r(3, 2, 10, 20, 0.5);
    for (std::size_t k = 0; k < 6; ++k) r.values[k] = 1.25 * static_cast<double>(k);
    r.values[4] = std::nan("");
    write_ascii_grid(r, Frame(), scratch / "r.asc");
    GDALAllRegister();
    const std::unique_ptr<GDALDataset> set(GDALDataset::Open((scratch / "r.asc").c_str()));
    REQUIRE(set);
    double geo[6];
    REQUIRE(set->GetGeoTransform(geo) == CE_None);
    CHECK(geo[0] == 10);
    CHECK(geo[3] == 21);
    float v[6];
    REQUIRE(set->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, 3, 2, v, 3, 2, GDT_Float32, 0, 0) == CE_None);
    CHECK(v[0] == 3.75f);
    CHECK(v[1] == -9999);
    CHECK(v[5] == 2.5f);
}
