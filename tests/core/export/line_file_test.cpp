#include "core/export/line_file.h"

#include "core/survey/coordinate_system.h"
#include "tests/support/process.h"

#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>
#include <ogr_spatialref.h>

using namespace brae;

TEST_CASE("lines without a system are local metres and say so; closed lines repeat their first point") {
    const test::Scratch scratch;
    write_lines_geojson({{{{"height_m", 0.25}}, {{0, 0}, {1, 0}, {1, 2}}, true}}, Frame(), scratch / "l.geojson");
    const auto j = nlohmann::json::parse(test::whole_file(scratch / "l.geojson"));
    CHECK(j["note"].get<std::string>().find("local metres") != std::string::npos);
    const auto& points = j["features"][0]["geometry"]["coordinates"];
    REQUIRE(points.size() == 4);
    CHECK(points[0] == points[3]);
    CHECK(points[2][1] == 2);
    CHECK(j["features"][0]["properties"]["height_m"] == 0.25);
}

TEST_CASE("lines of a survey with a system are longitude and latitude (RFC 7946)") {
    FrameSpec spec;
    const SystemInfo system = parse_system("EPSG:27700", "test");
    spec.crs_wkt = system.wkt;
    spec.crs_name = system.name;
    spec.origin_map = {219440, 804118};
    const Frame frame(spec);
    const test::Scratch scratch;
    write_lines_geojson({{{}, {{0, 0}, {10, 5}}, false}}, frame, scratch / "l.geojson");
    const auto j = nlohmann::json::parse(test::whole_file(scratch / "l.geojson"));
    CHECK_FALSE(j.contains("note"));
    const auto& p = j["features"][0]["geometry"]["coordinates"][1];
    const Vec2 back = frame.from_lonlat({p[0].get<double>(), p[1].get<double>()});
    CHECK(distance(back, {10, 5}) < 0.001);
    // Against PROJ called without any of our own code: the origin's map place plus the local metres, to 1 cm.
    OGRSpatialReference grid, wgs84;
    REQUIRE(grid.importFromEPSG(27700) == OGRERR_NONE);
    REQUIRE(wgs84.importFromEPSG(4326) == OGRERR_NONE);
    grid.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const std::unique_ptr<OGRCoordinateTransformation> proj(OGRCreateCoordinateTransformation(&grid, &wgs84));
    REQUIRE(proj);
    double x = 219450, y = 804123;
    REQUIRE(proj->Transform(1, &x, &y));
    CHECK(std::abs(p[0].get<double>() - x) < 1e-7);
    CHECK(std::abs(p[1].get<double>() - y) < 1e-7);
}
