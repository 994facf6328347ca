#include "core/export/point_file.h"

#include "core/base/error.h"
#include "core/record/green_file.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <fstream>
#include <gdal_priv.h>
#include <memory>
#include <ogrsf_frmts.h>
#include <sstream>

using namespace brae;
using namespace brae::test;

namespace {

// A plane with the system of the sample greens.
TerrainModel mapped() {
    TerrainModel green = green_of(tilted(0.02, {0, -1}), ellipse({14, 12}, 12, 12));
    FrameSpec spec;
    OGRSpatialReference srs;
    srs.importFromEPSG(27700);
    char* wkt = nullptr;
    srs.exportToWkt(&wkt);
    spec.crs_wkt = wkt;
    CPLFree(wkt);
    spec.crs_name = "EPSG:27700";
    spec.origin_map = {350000, 650000};
    spec.origin_height_m = 20;
    green.frame = Frame(spec);
    return green;
}

std::vector<PracticeStation> stations(const TerrainModel& green) {
    StationRequest r;
    r.hole = {14, 12};
    return {station_at(green, r, {11, 12}, "A"), station_at(green, r, {14, 9}, "B")};
}

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file);
    std::stringstream out;
    out << in.rdbuf();
    return out.str();
}

// What another program reads: GDAL's own drivers.
std::vector<std::pair<std::string, Vec2>> read_back(const std::filesystem::path& file, const char* layer_name = nullptr) {
    GDALAllRegister();
    const std::unique_ptr<GDALDataset> in(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR));
    REQUIRE(in);
    OGRLayer* layer = layer_name ? in->GetLayerByName(layer_name) : in->GetLayer(0);
    REQUIRE(layer);
    std::vector<std::pair<std::string, Vec2>> out;
    for (const auto& feature : layer) {
        const OGRPoint* p = feature->GetGeometryRef()->toPoint();
        out.emplace_back(feature->GetFieldAsString("name"), Vec2{p->getX(), p->getY()});
    }
    return out;
}

}  // namespace

TEST_CASE("ball, marker, gate and hole come out once each, and no marker where the aim is inside the hole") {
    const auto points = station_points(stations(mapped()));
    // hole; A: ball, aim, two tees; B is straight: ball and two tees.
    REQUIRE(points.size() == 1 + 4 + 3);
    CHECK(points[0].name == "hole");
    CHECK(points[2].name == "A aim");
    CHECK(points[5].name == "B ball");
}

TEST_CASE("GeoJSON and GPX are read by another library at the same places") {
    const Scratch folder;
    const TerrainModel green = mapped();
    const auto points = station_points(stations(green));
    for (const char* name : {"p.geojson", "p.gpx"}) {
        const auto file = folder.path() / name;
        write_points(points, green, file);
        const auto back = read_back(file, std::string(name) == "p.gpx" ? "waypoints" : nullptr);
        REQUIRE(back.size() == points.size());
        for (std::size_t k = 0; k < back.size(); ++k) {
            CHECK(back[k].first == points[k].name);
            CHECK(distance(green.frame.from_lonlat(back[k].second), points[k].p) < 0.001);
        }
    }
}

TEST_CASE("the CSV holds the survey's own eastings, northings and heights to the millimetre") {
    const Scratch folder;
    const TerrainModel green = mapped();
    write_points({{"A, \"first\"", "BALL", "two\nlines", {11, 12}}}, green, folder.path() / "p.csv");
    const std::string text = text_of(folder.path() / "p.csv");
    CHECK(text.find("name,code,easting,northing,height_m,description\n") == 0);
    // The plane is at 100 - 0.02 * (-12) there; the datum adds 20.
    CHECK(text.find("\"A, \"\"first\"\"\",BALL,350011.000,650012.000,120.240,two lines\n") != std::string::npos);
}

TEST_CASE("points of several greens share a file where their systems allow it") {
    const Scratch folder;
    const auto here = std::make_shared<const TerrainModel>(mapped());
    TerrainModel other = mapped();
    FrameSpec spec = other.frame.spec();
    spec.origin_map = {350200, 650100};
    other.frame = Frame(spec);
    const auto there = std::make_shared<const TerrainModel>(other);
    const std::vector<PointOfGreen> points{{{"7 hole", "HOLE", "", {11, 12}}, here}, {{"8 hole", "HOLE", "", {11, 12}}, there}};
    write_points(points, folder.path() / "p.csv");
    const std::string text = text_of(folder.path() / "p.csv");
    CHECK(text.find("7 hole,HOLE,350011.000,650012.000") != std::string::npos);
    CHECK(text.find("8 hole,HOLE,350211.000,650112.000") != std::string::npos);
    write_points(points, folder.path() / "p.gpx");
    const auto back = read_back(folder.path() / "p.gpx", "waypoints");
    REQUIRE(back.size() == 2);
    CHECK(distance(there->frame.from_lonlat(back[1].second), {11, 12}) < 0.001);
    // A green without a system cannot share it.
    const auto local = std::make_shared<const TerrainModel>(green_of(tilted(0.02, {0, -1}), ellipse({14, 12}, 12, 12)));
    CHECK_THROWS_WITH_AS(write_points(std::vector<PointOfGreen>{points[0], {{"9 hole", "HOLE", "", {11, 12}}, local}}, folder.path() / "q.csv"),
                         doctest::Contains("some have none"), Error);
}

TEST_CASE("without a system local metres are written and said, and GPX is refused") {
    const Scratch folder;
    const TerrainModel green = green_of(tilted(0.02, {0, -1}), ellipse({14, 12}, 12, 12));
    const auto points = station_points(stations(green));
    write_points(points, green, folder.path() / "p.csv");
    CHECK(text_of(folder.path() / "p.csv").find("name,code,x_m,y_m,") == 0);
    write_points(points, green, folder.path() / "p.geojson");
    CHECK(text_of(folder.path() / "p.geojson").find("local metres") != std::string::npos);
    CHECK_THROWS_WITH_AS(write_points(points, green, folder.path() / "p.gpx"), doctest::Contains("no coordinate system"), Error);
    CHECK_THROWS_WITH_AS(write_points(points, green, folder.path() / "p.kml"), doctest::Contains(".csv, .geojson or .gpx"), Error);
    CHECK_FALSE(std::filesystem::exists(folder.path() / "p.gpx"));
}
