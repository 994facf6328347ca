#include "core/export/line_file.h"

#include "core/survey/coordinate_system.h"
#include "tests/support/process.h"

#include <nlohmann/json.hpp>

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
    CHECK(p[0].get<double>() < -4);
    CHECK(p[1].get<double>() > 56);
}
