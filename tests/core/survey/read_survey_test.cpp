#include "core/survey/raw_survey.h"
#include "core/survey/read_survey.h"

#include "tests/core/survey/survey_files.h"

#include <sys/stat.h>
#include <unistd.h>

using namespace brae;
using namespace brae::test;

TEST_CASE("what is no survey file is refused in one sentence that names it") {
    const Scratch scratch;
    const auto told = [&](const char* name, const std::string& bytes) {
        write_file(scratch / name, bytes);
        return failure(scratch / name);
    };
    CHECK(says(failure(scratch / "missing.ply"), "missing.ply' does not exist"));
    CHECK(says(failure(scratch.path()), "is a folder"));
    CHECK(says(told("empty.csv", ""), "empty.csv' is empty"));
    CHECK(says(told("a.jpg", "\xff\xd8\xff" + std::string(300, '\0')), "binary in a format that is not known"));
    CHECK(says(told("a.gpkg", std::string("SQLite format 3\0", 16) + std::string(300, '\0')), "cannot be read as GeoPackage, Shapefile, GeoJSON or DXF"));
    CHECK(says(told("a.json", "{\"type\": \"FeatureCollection\"}"), "no list of points"));
    CHECK(says(told("a.tif", std::string("II*\0", 4) + std::string(300, '\0')), "cannot be read as GeoTIFF"));
    CHECK(says(told("a.csv", std::string("\xff\xfe" "1\0,\0", 6)), "UTF-16"));
    CHECK(says(told("a.e57", "ASTM-E57" + std::string(300, '\0')), "is E57, which is not read here; export it"));
    CHECK(says(told("a.prj", "PROJCS[\"a\"]"), "keep this beside it"));
    CHECK(says(told("a.dbf", std::string("\3\0\0", 3) + std::string(300, '\0')), "name that one, and keep this beside it"));
    CHECK(says(failure("/vsizip/a.zip/b.tif"), "virtual file system"));
    CHECK(says(failure("/vsicurl/http://example.org/b.tif"), "virtual file system"));
    CHECK_THROWS_AS(read(std::vector<fs::path>{}), Error);
}

TEST_CASE("pipes, devices, dangling links and files without permission are refused at once") {
    const Scratch scratch;
    REQUIRE(::mkfifo((scratch / "pipe.xyz").c_str(), 0600) == 0);
    CHECK(says(failure(scratch / "pipe.xyz"), "pipe.xyz' is not a plain file"));
    CHECK(says(failure("/dev/zero"), "'/dev/zero' is not a plain file"));
    fs::create_symlink("/dev/zero", scratch / "endless.las");
    CHECK(says(failure(scratch / "endless.las"), "is not a plain file"));
    fs::create_symlink("nowhere", scratch / "nowhere.xyz");
    CHECK(says(failure(scratch / "nowhere.xyz"), "does not exist or cannot be reached"));
    fs::create_symlink("loop.xyz", scratch / "loop.xyz");
    CHECK(says(failure(scratch / "loop.xyz"), "does not exist or cannot be reached"));
    // The same for an outline beside a good survey.
    std::string text;
    for (const Vec3& p : patch({0, 0}, 1)) text += fmt::format("{:.3f} {:.3f} {:.3f}\n", p.x, p.y, p.z);
    write_file(scratch / "good.xyz", text);
    for (const char* outline : {"pipe.xyz", "endless.las"}) {
        ReadOptions options = metres();
        options.outline = scratch / outline;
        CHECK(says(failure(scratch / "good.xyz", options), "is not a plain file"));
    }
    // The administrator may read anything.
    if (::geteuid() != 0) {
        fs::permissions(scratch / "good.xyz", fs::perms::none);
        CHECK(says(failure(scratch / "good.xyz"), "check its permissions"));
    }
}

TEST_CASE("coordinates beyond any on earth and files of blanks are named for what they are") {
    const Scratch scratch;
    std::string text;
    for (const Vec3& p : patch({0, 0}, 1)) text += fmt::format("{:.3f} {:.3f} {:.3f}\n", p.x, p.y, p.z);
    write_file(scratch / "far.xyz", text + "1 2e12 3\n");
    CHECK(says(failure(scratch / "far.xyz"), "holds the coordinate 2e+12; numbers up to 1e+09 are wanted"));
    write_file(scratch / "high.xyz", text + "1 2 -1e308\n");
    CHECK(says(failure(scratch / "high.xyz"), "holds the coordinate -1e+308"));
    write_file(scratch / "blank.xyz", std::string(2'000'000, ' '));
    CHECK(says(failure(scratch / "blank.xyz"), "line 1: it is 2000000 bytes long"));
    write_file(scratch / "lines.xyz", std::string(20'000, '\n'));
    CHECK(says(failure(scratch / "lines.xyz"), "holds no line with data"));
}

TEST_CASE("points along a line and points on a wall are no surface") {
    const Scratch scratch;
    std::string line, wall;
    for (int i = 0; i < 40; ++i) {
        line += fmt::format("{} {} 5\n", 0.5 * i, 0.25 * i);
        wall += fmt::format("{} {} {}\n", 0.3 * (i % 7), 0.4 * (i % 3), i);
    }
    write_file(scratch / "line.xyz", line);
    write_file(scratch / "wall.xyz", wall);
    CHECK(says(failure(scratch / "line.xyz"), "is not a surface"));
    CHECK(says(failure(scratch / "wall.xyz"), "is not a surface"));
}

TEST_CASE("the content decides where the name of a file lies") {
    const Scratch scratch;
    std::string text = "ply\nformat ascii 1.0\nelement vertex 36\nproperty float x\nproperty float y\nproperty float z\nend_header\n";
    const std::vector<Vec3> points = patch({0, 0}, 1);
    for (const Vec3& p : points) text += fmt::format("{:.6f} {:.6f} {:.6f}\n", p.x, p.y, p.z);
    write_file(scratch / "really_ply.csv", text);
    CHECK(largest_error(read(scratch / "really_ply.csv"), points) < 1e-5);
}

TEST_CASE("a clip box in map coordinates cuts before the frame is set") {
    const Scratch scratch;
    std::string text;
    for (int j = 0; j < 60; ++j)
        for (int i = 0; i < 60; ++i) text += fmt::format("{} {} {}\n", 484900 + i, 6632600 + j, 100 + 0.01 * i);
    write_file(scratch / "wide.xyz", text);
    ReadOptions options;
    options.clip = Box{484920, 6632610, 484940, 6632630};
    const Survey survey = read(scratch / "wide.xyz", options);
    CHECK(survey.points.size() == 21 * 21);
    CHECK(survey.points_read == 3600);
    CHECK(survey.frame.spec().origin_map == Vec2{484920, 6632610});
    options.clip = Box{0, 0, 1, 1};
    CHECK(says(failure(scratch / "wide.xyz", options), "inside the clip box"));
}

TEST_CASE("a cancelled reading stops") {
    const Scratch scratch;
    std::string text;
    for (const Vec3& p : patch({0, 0}, 1)) text += fmt::format("{:.6f} {:.6f} {:.6f}\n", p.x, p.y, p.z);
    write_file(scratch / "a.xyz", text);
    Progress progress;
    progress.cancel();
    CHECK_THROWS_AS(read_survey({scratch / "a.xyz"}, {}, progress), Error);
}

TEST_CASE("files without a system share that of the one that has it, and files of two places are refused") {
    const Scratch scratch;
    const auto xyz = [&](const char* name, Vec2 corner) {
        std::string text;
        for (const Vec3& p : patch(corner, 10, 20)) text += fmt::format("{:.6f} {:.6f} {:.6f}\n", p.x, p.y, p.z);
        write_file(scratch / name, text);
        return scratch / name;
    };
    const fs::path cloud = xyz("cloud.xyz", {5000, 6000}), far_away = xyz("far.xyz", {9000, 6000});
    write_file(scratch / "marks.csv", "Name,E,N,H,Code\nS1,5003.5,6004.5,10.1,SPR\nH,5010,6010,10.3,HOLE\nL1,5008,6002,10.2,GND\n");
    const Survey survey = read({cloud, scratch / "marks.csv"});
    CHECK(survey.points.size() == 400);
    REQUIRE(survey.marks.size() == 1);
    CHECK(survey.marks[0].p.x == doctest::Approx(5003.5));
    REQUIRE(survey.todays_hole.has_value());
    CHECK(warns(survey, "1 plain level beside"));
    try {
        read({cloud, far_away});
        FAIL("two places were taken for one");
    } catch (const Error& error) {
        CHECK(says(error.what(), "far.xyz' lies 3"));
    }
}

TEST_CASE("every copy of the open field gives the same 40 x 40 m") {
    const fs::path folder = open_data() / "ign-lidarhd-field";
    if (!fs::exists(folder)) BRAE_SKIP("the open field is not here");
    for (const char* file : {"field_40m_ground.ply", "field_40m_ground.xyz", "field_40m_ground_local.pcd", "field_40m_ground_levels.csv",
                             "field_40m_dtm50cm.tif", "field_40m_dtm50cm.asc"}) {
        CAPTURE(file);
        const Survey survey = read(folder / file);
        const bool raster = survey.grid_spacing_m.has_value(), levels = fs::path(file).extension() == ".csv";
        const FrameSpec& spec = survey.frame.spec();
        if (fs::path(file).extension() != ".pcd") CHECK(spec.origin_map == Vec2{484958, 6632656});
        CHECK(spec.origin_height_m + survey.points[0].z == doctest::Approx(101).epsilon(fs::path(file).extension() == ".pcd" ? 1 : 0.02));
        CHECK(survey.coded.empty());
        if (raster) {
            // Lambert-93 shortens lengths by 1/1000 here: 40 m on the map are 40.04 m of ground.
            CHECK(survey.points.size() == 6400);
            CHECK(*survey.grid_spacing_m == doctest::Approx(0.5 / spec.scale_factor).epsilon(1e-4));
            CHECK(spec.crs_name == "EPSG:2154");
            CHECK(spec.local_tm);
        } else {
            CHECK(survey.points.size() == (levels ? 1555 : 13993));
        }
        const Outline edge = data_boundary(survey);
        CHECK(edge.area_m2() == doctest::Approx(1600).epsilon(0.02));
        // Half the spacing of the points at most; it is 1 m in the levels.
        CHECK(std::abs(edge.box().width() - 40) < (levels ? 1.0 : 0.4));
        CHECK(std::abs(edge.box().height() - 40) < (levels ? 1.0 : 0.4));
        CHECK(std::abs(edge.box().x0) < (levels ? 0.5 : 0.2));
        CHECK(std::abs(edge.box().y0) < (levels ? 0.5 : 0.2));
    }
}

TEST_CASE("a file named twice is refused however it is spelt, and a copy under another name is told") {
    const Scratch scratch;
    std::string text, backwards;
    for (const Vec3& p : patch({0, 0}, 1, 20)) {
        const std::string line = fmt::format("{:.6f} {:.6f} {:.6f}\n", p.x, p.y, p.z);
        text += line;
        backwards = line + backwards;
    }
    write_file(scratch / "a.xyz", text);
    write_file(scratch / "b.xyz", backwards);
    write_file(scratch / "c.xyz", text.substr(0, text.rfind('\n', text.size() - 2) + 1));
    fs::create_symlink(scratch / "a.xyz", scratch / "link.xyz");
    const auto refused = [&](const std::vector<fs::path>& files) {
        try {
            read(files);
        } catch (const Error& e) {
            CHECK(e.kind() == ErrorKind::usage);
            return std::string(e.what());
        }
        return std::string();
    };
    CHECK(says(refused({scratch / "a.xyz", scratch / "a.xyz"}), "is named twice"));
    CHECK(says(refused({scratch / "a.xyz", scratch.path() / "." / "a.xyz"}), "are the same file"));
    CHECK(says(refused({scratch / "a.xyz", scratch / "c.xyz", scratch / "link.xyz"}), "are the same file"));
    CHECK(warns(read({scratch / "a.xyz", scratch / "b.xyz"}), "b.xyz' hold the same points"));
    CHECK_FALSE(warns(read({scratch / "a.xyz", scratch / "c.xyz"}), "hold the same points"));
}

TEST_CASE("a system on the command line that differs from the file's, or is made for elsewhere, is told") {
    const Scratch scratch;
    // A header of longitude and latitude says WGS 84.
    std::string degrees = "lon,lat,height\n";
    for (const Vec3& p : patch({0, 0}, 100)) degrees += fmt::format("{:.9f},{:.9f},{:.4f}\n", 2 + 1e-5 * p.x, 47 + 1e-5 * p.y, p.z);
    write_file(scratch / "a.csv", degrees);
    ReadOptions options;
    options.crs = "EPSG:4258";
    CHECK(warns(read(scratch / "a.csv", options), "says EPSG:4326, --crs says EPSG:4258"));
    options.crs = "EPSG:4326";
    CHECK_FALSE(warns(read(scratch / "a.csv", options), "--crs says"));

    std::string text;
    for (const Vec3& p : patch({484958, 6632656}, 100)) text += fmt::format("{:.4f} {:.4f} {:.4f}\n", p.x, p.y, p.z);
    write_file(scratch / "b.xyz", text);
    options.crs = "EPSG:2154";
    CHECK_FALSE(warns(read(scratch / "b.xyz", options), "outside the area"));
    // The same numbers in UTM 31 north lie near 60 degrees north, within its area; in zone 1 south far outside of it.
    options.crs = "EPSG:32631";
    CHECK_FALSE(warns(read(scratch / "b.xyz", options), "outside the area"));
    options.crs = "EPSG:27700";
    CHECK(warns(read(scratch / "b.xyz", options), "outside the area that EPSG:27700 is made for"));
}

TEST_CASE("a clip box cuts edge, tier and ground points, keeps marks and hole, and cuts the outline") {
    const Scratch scratch;
    std::string text = "Name,E,N,H,Code\n";
    for (int j = 0; j < 20; ++j)
        for (int i = 0; i < 20; ++i) text += fmt::format("G{},{},{},{:.3f},GND\n", 20 * j + i, i + 0.5, j + 0.25, 10 + 0.01 * i);
    int n = 0;
    for (const Vec2 p : {Vec2{0, 0}, Vec2{20, 0}, Vec2{20, 20}, Vec2{0, 20}}) text += fmt::format("E{},{},{},10,EDGE\n", n++, p.x, p.y);
    for (int k = 0; k < 20; ++k) text += fmt::format("T{},{},10.1,10.1,TOP\n", k, k + 0.3);
    text += "S1,30,3,10.2,SPR\nH,18,18,10.2,HOLE\n";
    write_file(scratch / "levels.csv", text);
    ReadOptions options;
    options.clip = Box{-1, -1, 12, 15};
    const Survey survey = read(scratch / "levels.csv", options);
    for (const Vec3& p : survey.points) CHECK((p.x <= 12 && p.y <= 15));
    for (const CodedPoint& c : survey.coded)
        if (c.code != "SPR" && c.code != "HOLE") CHECK((c.p.x <= 12 && c.p.y <= 15));
    CHECK(survey.marks.size() == 1);
    CHECK(survey.todays_hole.has_value());
    REQUIRE(survey.breaklines.size() == 1);
    CHECK(survey.breaklines[0].points.size() == 12);
    // The square of the edge, cut at 12 and 15, not the triangle that the edge points inside the box would leave.
    REQUIRE(survey.outline);
    CHECK(survey.outline->area_m2() == doctest::Approx(180));
    CHECK(warns(survey, "beyond the clip box; it was cut to it"));

    options.clip = Box{40, 40, 50, 50};
    CHECK(says(failure(scratch / "levels.csv", options), "no point of"));
    CHECK(says(failure(scratch / "levels.csv", options), "lies inside the clip box"));
    options.clip = Box{-5, -5, 25, 25};
    CHECK_FALSE(warns(read(scratch / "levels.csv", options), "clip box"));
}

TEST_CASE("an outline that a clip box cuts into two is left whole with a word about it") {
    const Scratch scratch;
    std::string text;
    for (int j = 0; j < 20; ++j)
        for (int i = 0; i < 20; ++i) text += fmt::format("{} {} {:.3f}\n", i + 0.5, j + 0.25, 10 + 0.01 * i);
    write_file(scratch / "a.xyz", text);
    // A horseshoe open to the north: its two arms alone are two rings.
    write_file(scratch / "edge.geojson", "{\"type\":\"Polygon\",\"coordinates\":[[[0,0],[20,0],[20,20],[14,20],[14,5],[6,5],[6,20],[0,20],[0,0]]]}");
    ReadOptions options;
    options.outline = scratch / "edge.geojson";
    options.clip = Box{-1, 8, 21, 21};
    const Survey arms = read(scratch / "a.xyz", options);
    CHECK(arms.outline->area_m2() == doctest::Approx(400 - 8 * 15));
    CHECK(warns(arms, "not one simple ring; it is left whole"));
    // Its foot with the stumps of the arms is one.
    options.clip = Box{-1, -1, 21, 10};
    const Survey foot = read(scratch / "a.xyz", options);
    CHECK(foot.outline->area_m2() == doctest::Approx(200 - 8 * 5));
    CHECK(warns(foot, "it was cut to it"));
}

TEST_CASE("points beyond the limit are thinned evenly as they come, classes and strips with them, and the box comes first") {
    RawSurvey raw;
    PointThinner sink(raw, 1000, std::nullopt, 100);
    for (int k = 0; k < 1000; ++k) sink.add({static_cast<double>(k), 0, 0}, static_cast<std::uint16_t>(k), static_cast<std::uint16_t>(k + 1));
    sink.finish();
    // Every 16th: 63 of 1000.
    REQUIRE(raw.points.size() == 63);
    REQUIRE(raw.classes.size() == 63);
    for (std::size_t k = 0; k < 63; ++k) {
        CHECK(raw.points[k].x == 16.0 * static_cast<double>(k));
        CHECK(raw.classes[k] == 16 * k);
        CHECK(raw.strips[k] == 16 * k + 1);
    }
    REQUIRE(raw.warnings.size() == 1);
    CHECK(says(raw.warnings[0], "every 16th of them is used"));

    RawSurvey inside;
    PointThinner box(inside, 1000, Box{100, -1, 180, 1}, 100);
    for (int k = 0; k < 1000; ++k) box.add({static_cast<double>(k), 0, 0});
    box.finish();
    CHECK(inside.points.size() == 81);
    CHECK(inside.warnings.empty());
}
