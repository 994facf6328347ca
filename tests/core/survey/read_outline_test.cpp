#include "core/survey/read_outline.h"

#include "core/survey/coordinate_system.h"
#include "tests/core/survey/survey_files.h"

using namespace brae;
using namespace brae::test;

namespace {

std::string geojson(const std::vector<Vec2>& ring, const std::string& extra = "") {
    std::string text = "{\"type\":\"FeatureCollection\"," + extra + "\"features\":[{\"type\":\"Feature\",\"properties\":{},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[";
    for (std::size_t k = 0; k <= ring.size(); ++k) text += fmt::format("{}[{:.10f},{:.10f}]", k ? "," : "", ring[k % ring.size()].x, ring[k % ring.size()].y);
    return text + "]]}}]}";
}

std::string cloud_text(Vec2 corner) {
    std::string text;
    for (const Vec3& p : patch(corner, 100, 20)) text += fmt::format("{:.4f} {:.4f} {:.4f}\n", p.x, p.y, p.z);
    return text;
}

}  // namespace

TEST_CASE("a GeoJSON outline in longitude and latitude lands on the survey") {
    const Scratch scratch;
    write_file(scratch / "cloud.xyz", cloud_text({484958, 6632656}));
    ReadOptions options;
    options.crs = "EPSG:2154";
    const Survey bare = read(scratch / "cloud.xyz", options);
    const std::vector<Vec2> local{{3, 3}, {20, 4}, {22, 18}, {5, 20}};
    std::vector<Vec2> lonlat;
    for (Vec2 p : local) lonlat.push_back(bare.frame.to_lonlat(p));
    write_file(scratch / "edge.geojson", geojson(lonlat));
    options.outline = scratch / "edge.geojson";
    const Survey survey = read(scratch / "cloud.xyz", options);
    REQUIRE(survey.outline.has_value());
    CHECK(survey.outline->source() == OutlineSource::file);
    REQUIRE(survey.outline->ring().size() == 4);
    for (std::size_t k = 0; k < 4; ++k) CHECK(distance(survey.outline->ring()[k], local[k]) < 1e-4);

    // A file that names the survey's own system.
    std::vector<Vec2> map;
    for (Vec2 p : local) map.push_back(bare.frame.to_map(p));
    write_file(scratch / "map.geojson",
               geojson(map, "\"crs\":{\"type\":\"name\",\"properties\":{\"name\":\"urn:ogc:def:crs:EPSG::2154\"}},"));
    options.outline = scratch / "map.geojson";
    const Survey named = read(scratch / "cloud.xyz", options);
    for (std::size_t k = 0; k < 4; ++k) CHECK(distance(named.outline->ring()[k], local[k]) < 1e-3);

    // Somewhere else.
    for (Vec2& p : lonlat) p.x += 0.5;
    write_file(scratch / "away.geojson", geojson(lonlat));
    options.outline = scratch / "away.geojson";
    CHECK(says(failure(scratch / "cloud.xyz", options), "m from the data"));
}

TEST_CASE("without a system local metres and the survey's own coordinates are accepted with a warning") {
    const Scratch scratch;
    write_file(scratch / "cloud.xyz", cloud_text({484958, 6632656}));
    const std::vector<Vec2> local{{3, 3}, {20, 4}, {22, 18}, {5, 20}};
    ReadOptions options;
    options.outline = scratch / "edge.geojson";
    write_file(scratch / "edge.geojson", geojson(local));
    const Survey a = read(scratch / "cloud.xyz", options);
    CHECK(distance(a.outline->ring()[2], local[2]) < 1e-6);
    CHECK(warns(a, "local metres"));
    std::vector<Vec2> map;
    for (Vec2 p : local) map.push_back(p + a.frame.spec().origin_map);
    write_file(scratch / "edge.geojson", geojson(map));
    const Survey b = read(scratch / "cloud.xyz", options);
    CHECK(distance(b.outline->ring()[2], local[2]) < 1e-6);
    CHECK(warns(b, "coordinates of the survey"));
}

TEST_CASE("outline files without a ring, with a crossing one or of another kind are refused by name") {
    const Scratch scratch;
    write_file(scratch / "cloud.xyz", cloud_text({0, 0}));
    ReadOptions options;
    const auto told = [&](const std::string& bytes) {
        write_file(scratch / "edge.geojson", bytes);
        options.outline = scratch / "edge.geojson";
        return failure(scratch / "cloud.xyz", options);
    };
    CHECK(says(told("{\"type\":\"FeatureCollection\",\"features\":[]}"), "holds no polygon"));
    CHECK(says(told("{\"type\":\"FeatureCollection\",\"feat"), "cannot be read as GeoJSON"));
    CHECK(says(told("0 0\n1 1\n"), "cannot be read as GeoJSON"));
    CHECK(says(told(geojson({{0, 0}, {10, 10}, {10, 0}, {0, 10}})), "crosses itself"));
    CHECK(says(told(""), "is empty"));
    options.outline = "/vsimem/edge.geojson";
    CHECK(says(failure(scratch / "cloud.xyz", options), "virtual file system"));
}
