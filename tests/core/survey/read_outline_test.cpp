#include "core/survey/read_outline.h"

#include "core/survey/coordinate_system.h"
#include "tests/core/survey/survey_files.h"

#include <gdal_priv.h>
#include <ogrsf_frmts.h>

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

TEST_CASE("of a file with several layers the one named outline is meant, however large the others are") {
    const Scratch scratch;
    write_file(scratch / "cloud.xyz", cloud_text({0, 0}));
    GDALAllRegister();
    {
        GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
        GDALDataset* file = driver->Create((scratch / "green.gpkg").c_str(), 0, 0, 0, GDT_Unknown, nullptr);
        for (const auto& [name, side] : {std::pair{"data_reach", 20.0}, {"outline", 12.0}, {"zones", 15.0}}) {
            OGRLayer* layer = file->CreateLayer(name, nullptr, wkbPolygon, nullptr);
            OGRLinearRing ring;
            for (const Vec2& p : {Vec2{2, 2}, {2 + side, 2}, {2 + side, 2 + side}, {2, 2 + side}}) ring.addPoint(p.x, p.y);
            ring.closeRings();
            OGRPolygon polygon;
            polygon.addRing(&ring);
            OGRFeature* feature = OGRFeature::CreateFeature(layer->GetLayerDefn());
            feature->SetGeometry(&polygon);
            CHECK(layer->CreateFeature(feature) == OGRERR_NONE);
            OGRFeature::DestroyFeature(feature);
        }
        GDALClose(file);
    }
    ReadOptions options;
    options.outline = scratch / "green.gpkg";
    const Survey survey = read(scratch / "cloud.xyz", options);
    REQUIRE(survey.outline);
    CHECK(survey.outline->area_m2() == doctest::Approx(144));
}

TEST_CASE("inner rings of the outline are no green, and the largest of several polygons keeps its own") {
    const Scratch scratch;
    write_file(scratch / "cloud.xyz", cloud_text({0, 0}));
    const auto polygon = [](const char* rings) { return std::string("{\"type\":\"Polygon\",\"coordinates\":[") + rings + "]}"; };
    const auto read_with = [&](const std::string& geometry) {
        write_file(scratch / "edge.geojson", "{\"type\":\"Feature\",\"properties\":{},\"geometry\":" + geometry + "}");
        ReadOptions options;
        options.outline = scratch / "edge.geojson";
        return read(scratch / "cloud.xyz", options);
    };

    // A bunker of 2 x 3 m and a drain under 1 m2 cut out of 20 x 20 m.
    const char* rings = "[[2,2],[22,2],[22,22],[2,22],[2,2]],[[8,8],[8,11],[10,11],[10,8],[8,8]],[[15,15],[15,15.5],[15.5,15.5],[15,15]]";
    const Survey survey = read_with(polygon(rings));
    REQUIRE(survey.outline);
    CHECK(survey.outline->gaps().size() == 2);
    CHECK(survey.outline->area_m2() == doctest::Approx(400 - 6 - 0.125));
    CHECK_FALSE(survey.outline->contains({9, 9.5}));
    CHECK(survey.outline->contains({9, 11.5}));
    CHECK(warns(survey, "2 inner rings"));

    // Of two polygons the larger, with its inner rings and not the other's.
    const Survey two = read_with("{\"type\":\"MultiPolygon\",\"coordinates\":[[[[0,0],[5,0],[5,5],[0,5],[0,0]],[[1,1],[1,3],[3,3],[1,1]]],"
                                 "[[[6,6],[20,6],[20,20],[6,20],[6,6]],[[8,8],[8,11],[10,11],[10,8],[8,8]]]]}");
    CHECK(warns(two, "holds 2 rings"));
    CHECK(two.outline->area_m2() == doctest::Approx(196 - 6));
    CHECK(warns(two, "1 inner ring; what it encloses is not green"));

    // Inner rings that are none.
    const auto refused = [&](const char* inner) {
        try {
            read_with(polygon((std::string("[[2,2],[22,2],[22,22],[2,22],[2,2]],") + inner).c_str()));
        } catch (const Error& e) {
            return std::string(e.what());
        }
        return std::string();
    };
    CHECK(says(refused("[[20,8],[20,11],[24,11],[24,8],[20,8]]"), "inner ring 1 leaves the outer one at (24.00, 11.00)"));
    CHECK(says(refused("[[8,8],[10,11],[8,11],[10,8],[8,8]]"), "inner ring 1 crosses itself"));
    CHECK(says(refused("[[2,4],[4,4],[4,6],[2,6],[2,4]]"), "inner ring 1 meets the outer one after its point "));
    CHECK(says(refused("[[8,8],[8,11],[10,11],[10,8],[8,8]],[[9,9],[9,14],[12,14],[12,9],[9,9]]"), "inner rings 1 and 2 overlap; rings apart"));
    CHECK(says(refused("[[8,8],[8,16],[16,16],[16,8],[8,8]],[[4,4],[5,4],[5,5],[4,5],[4,4]],[[9,9],[9,10],[10,10],[9,9]]"), "inner rings 1 and 3 overlap"));
    CHECK(says(refused("[[8,8],[8,11],[10,11],[10,8],[8,8]],[[8,8],[8,11],[10,11],[10,8],[8,8]]"), "inner rings 1 and 2 overlap"));
    CHECK(says(refused("[[2.001,2.001],[21.999,2.001],[21.999,21.999],[2.001,21.999],[2.001,2.001]]"), "inner rings leave 0.08 m2 of the outer one"));
}
