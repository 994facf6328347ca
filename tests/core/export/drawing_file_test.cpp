#include "core/export/drawing_file.h"

#include "core/base/error.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"

#include <map>
#include <memory>
#include <ogrsf_frmts.h>

using namespace brae;

TEST_CASE("a drawing holds outline, contours at their heights, marks, holes and stations on their layers") {
    const test::Scratch scratch;
    Progress progress;
    const Green green = test::sample_green();
    write_drawing(green, 0.05, scratch / "g.dxf", progress);
    CHECK(std::distance(test::fs::directory_iterator(scratch.path()), test::fs::directory_iterator()) == 1);

    // Read by GDAL's own reader.
    GDALAllRegister();
    const std::unique_ptr<GDALDataset> set(GDALDataset::Open((scratch / "g.dxf").c_str(), GDAL_OF_VECTOR));
    REQUIRE(set);
    OGRLayer* layer = set->GetLayer(0);
    std::map<std::string, int> count;
    bool levels = true;
    for (const auto& feature : *layer) {
        const std::string on = feature->GetFieldAsString("Layer");
        ++count[on];
        if (on != "CONTOUR") continue;
        const auto* line = feature->GetGeometryRef()->toLineString();
        for (const OGRPoint& p : *line) levels = levels && std::abs(p.getZ() / 0.05 - std::round(p.getZ() / 0.05)) < 1e-6;
    }
    CHECK(levels);
    CHECK(count["OUTLINE"] == 1 + static_cast<int>(green.terrain->outline.gaps().size()));
    CHECK(count["CONTOUR"] > 3);
    CHECK(count["MARK"] == 2 * static_cast<int>(green.marks.size()));   // the point and its name
    CHECK(count["HOLE"] == 2 * static_cast<int>(green.holes.size()));
    CHECK(count["STATION_BALL"] == 2 * static_cast<int>(green.stations.size()));
    CHECK(count["STATION_LINE"] == static_cast<int>(green.stations.size()));
    CHECK_THROWS_AS(write_drawing(green, 0, scratch / "h.dxf", progress), Error);
    CHECK_THROWS_AS(write_drawing(green, 0.05, scratch / "none/h.dxf", progress), Error);
}
