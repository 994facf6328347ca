#include "core/base/error.h"
#include "core/base/random.h"
#include "core/record/green_file.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"

#include <fmt/format.h>
#include <fstream>

using namespace brae;
using brae::test::Scratch;

TEST_CASE("a raw survey opens as an unsaved green with its marks and hole, and survives being saved") {
    // A tilted plane, 2.5 % down to the east, with points of a coded survey.
    const Scratch scratch;
    {
        std::ofstream out(scratch / "plane.csv");
        out << "name,x,y,z,code\n";
        int n = 1;
        Random random(5);
        for (double y = 0; y <= 12; y += 0.4)
            for (double x = 0; x <= 14; x += 0.4) {
                const double px = 1000 + x + random.uniform(-0.05, 0.05), py = 2000 + y + random.uniform(-0.05, 0.05);
                out << fmt::format("{},{:.4f},{:.4f},{:.6f},G\n", n++, px, py, 50 - 0.025 * (px - 1000));
            }
        out << "S1,1001.0,2001.0,49.975,MARK\nH,1007.0,2006.0,49.825,HOLE\n";
    }
    Progress progress;
    const Green green = open_green(scratch / "plane.csv", progress);
    CHECK(green.revision == 0);
    CHECK(green.name == "plane");
    CHECK(green.id.size() == 36);
    REQUIRE(green.marks.size() == 1);
    CHECK(green.marks[0].name == "S1");
    REQUIRE(green.todays_hole() != nullptr);
    const Vec2 hole = green.terrain->frame.to_map(green.todays_hole()->p);
    CHECK(hole.x == doctest::Approx(1007).epsilon(1e-9));
    CHECK(hole.y == doctest::Approx(2006).epsilon(1e-9));
    // The plane is there.
    const Vec2 p = green.todays_hole()->p;
    CHECK(green.terrain->surface->jet(p.x, p.y).hx == doctest::Approx(-0.025).epsilon(1e-3));

    write_green_file(green, scratch / "plane.gpkg", progress);
    const Green back = open_green(scratch / "plane.gpkg", progress);
    CHECK(back.id == green.id);
    CHECK(back.terrain->surface->grid().coefficients == green.terrain->surface->grid().coefficients);
    CHECK(back.terrain->frame.spec() == green.terrain->frame.spec());
}

TEST_CASE("a missing file and a damaged green file are refused with a sentence") {
    const Scratch scratch;
    Progress progress;
    CHECK_THROWS_AS(open_green(scratch / "none.csv", progress), Error);
    write_green_file(test::sample_green(), scratch / "a.gpkg", progress);
    std::filesystem::resize_file(scratch / "a.gpkg", 50000);
    CHECK_THROWS_AS(open_green(scratch / "a.gpkg", progress), Error);
}
