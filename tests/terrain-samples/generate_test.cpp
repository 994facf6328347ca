// The sample files are what the generator writes, and its formulas are what their README says.
#include "core/terrain/slope.h"
#include "terrain-samples/generator/sample_greens.h"
#include "tests/support/process.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

TEST_CASE("the generator writes the files that are in the tree, byte for byte") {
    const Scratch scratch;
    const std::string command = quoted(BRAE_BINARY_DIR "/bin/brae_generate_samples") + " " + quoted(scratch.path().string()) + " >/dev/null";
    REQUIRE(std::system(command.c_str()) == 0);
    for (const auto& sample : samples::all_greens())
        for (const char* name : {"tripod-scan.ply", "lidar.ply", "levels.csv", "dtm.tif", "outline.geojson"}) {
            const std::string fresh = whole_file(scratch.path() / sample.folder / name);
            CHECK(fresh.size() > 1000);
            CHECK_MESSAGE(fresh == whole_file(test::samples() / sample.folder / name), sample.folder << "/" << std::string(name));
        }
}

TEST_CASE("the formulas' derivatives agree with finite differences") {
    const double e = 1e-5;
    for (const auto& s : samples::all_greens())
        for (double x = -9; x < 10; x += 2.3)
            for (double y = -9; y < 10; y += 2.1) {
                const SurfaceJet j = s.jet(x, y);
                CHECK(std::abs(j.hx - (s.height(x + e, y) - s.height(x - e, y)) / (2 * e)) < 1e-8);
                CHECK(std::abs(j.hy - (s.height(x, y + e) - s.height(x, y - e)) / (2 * e)) < 1e-8);
                CHECK(std::abs(j.hxy - (s.jet(x, y + e).hx - s.jet(x, y - e).hx) / (2 * e)) < 1e-7);
            }
}

TEST_CASE("the samples are greens: 350 to 650 m2, mostly 1 to 4 percent, steeper where tiers and edges are") {
    for (const auto& s : samples::all_greens()) {
        CAPTURE(s.folder);
        const Outline outline(s.outline, OutlineSource::file);
        CHECK(outline.area_m2() > 350);
        CHECK(outline.area_m2() < 650);
        int all = 0, usual = 0;
        for (double y = -16; y < 16; y += 0.25)
            for (double x = -16; x < 16; x += 0.25)
                if (outline.contains({x, y})) {
                    const double slope = slope_ratio(s.jet(x, y));
                    ++all;
                    usual += slope > 0.01 && slope < 0.04;
                }
        CHECK(usual > 0.7 * all);
        CHECK(outline.signed_distance(s.hole) > 4);
        CHECK(s.marks.size() >= 3);
        for (const auto& m : s.marks) CHECK(outline.signed_distance({m.p.x, m.p.y}) < 0);
    }
}
