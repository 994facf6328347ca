#include "core/survey/read_vector.h"

#include "tests/core/survey/survey_files.h"

#include <gdal_priv.h>
#include <ogrsf_frmts.h>

using namespace brae;
using namespace brae::test;

namespace {

struct Layer {
    const char* name;
    bool heights_in_geometry;
};

// Points through GDAL's own writers, which are the oracle here.
void write_points(const fs::path& path, const char* driver_name, const std::vector<Vec3>& points, const char* crs, const Layer& kind, const char* code) {
    GDALAllRegister();
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName(driver_name);
    REQUIRE(driver);
    GDALDataset* dataset = driver->Create(path.c_str(), 0, 0, 0, GDT_Unknown, nullptr);
    REQUIRE(dataset);
    OGRSpatialReference srs;
    srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    if (*crs) srs.SetFromUserInput(crs);
    OGRLayer* layer = dataset->CreateLayer(kind.name, *crs ? &srs : nullptr, kind.heights_in_geometry ? wkbPoint25D : wkbPoint, nullptr);
    const bool drawing = std::string(driver_name) == "DXF";
    if (!drawing) {
        OGRFieldDefn code_field("code", OFTString), height_field("elev", OFTReal);
        layer->CreateField(&code_field);
        if (!kind.heights_in_geometry) layer->CreateField(&height_field);
    }
    for (const Vec3& p : points) {
        OGRFeature feature(layer->GetLayerDefn());
        if (!drawing && *code) feature.SetField("code", code);
        if (!drawing && !kind.heights_in_geometry) feature.SetField("elev", p.z);
        OGRPoint point(p.x, p.y);
        if (kind.heights_in_geometry) point.setZ(p.z);
        feature.SetGeometry(&point);
        REQUIRE(layer->CreateFeature(&feature) == OGRERR_NONE);
    }
    GDALClose(dataset);
}

}  // namespace

TEST_CASE("points with heights come out of GeoPackage, Shapefile, GeoJSON and DXF") {
    const Scratch scratch;
    const std::vector<Vec3> points = patch({650000.25, 6800000.5}, 101.5, 8);
    for (const auto& [file, driver] : std::vector<std::pair<const char*, const char*>>{{"a.gpkg", "GPKG"}, {"a.shp", "ESRI Shapefile"}, {"a.dxf", "DXF"}}) {
        CAPTURE(file);
        write_points(scratch / file, driver, points, "EPSG:2154", {"ground", true}, "");
        const Survey survey = read(scratch / file);
        CHECK(largest_error(survey, points) < 2e-3);
        CHECK(survey.frame.spec().crs_name == (std::string(driver) == "DXF" ? "" : "EPSG:2154"));
    }
    // Heights in a column, codes in another.
    write_points(scratch / "b.gpkg", "GPKG", points, "EPSG:2154", {"levels", false}, "GRD");
    const Survey levels = read(scratch / "b.gpkg");
    CHECK(largest_error(levels, points) < 2e-3);

    // Degrees.
    std::vector<Vec3> degrees;
    for (const Vec3& p : patch({0, 0}, 101.5, 8)) degrees.push_back({2.3 + 1e-5 * p.x, 48.2 + 1e-5 * p.y, p.z});
    write_points(scratch / "c.geojson", "GeoJSON", degrees, "EPSG:4326", {"c", true}, "");
    const Survey global = read(scratch / "c.geojson");
    CHECK(global.frame.spec().local_tm);
    CHECK(global.points.size() == 64);
}

TEST_CASE("a vector file without heights, and one that leads elsewhere, is refused in one sentence") {
    const Scratch scratch;
    write_file(scratch / "flat.geojson", R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[1,2]}}]})");
    CHECK(says(failure(scratch / "flat.geojson"), "none has a height"));
    for (const char* text : {"<VRTDataset rasterXSize=\"2\" rasterYSize=\"2\"></VRTDataset>", "<GDAL_WMS><Service name=\"TMS\"></Service></GDAL_WMS>",
                             "\n <OGRVRTDataSource></OGRVRTDataSource>", "<WCS_GDAL></WCS_GDAL>"}) {
        for (const char* name : {"a.vrt", "a.tif", "a.asc"}) {
            write_file(scratch / name, text);
            CHECK(says(failure(scratch / name), "leads to other files or addresses"));
        }
    }
}
