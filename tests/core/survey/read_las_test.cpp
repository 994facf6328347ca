#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/survey/read_las.h"
#include "tests/core/survey/survey_files.h"
#include "tests/support/las_writer.h"

using namespace brae;
using namespace brae::test;

namespace {

LasFile sheet(int minor, int format, Vec2 corner = {}, double height = 10, double scale = 0.001) {
    LasFile las;
    las.minor = minor;
    las.format = format;
    las.scale = scale;
    las.offset[0] = corner.x;
    las.offset[1] = corner.y;
    for (const Vec3& p : patch(corner, height)) las.points.push_back({p.x, p.y, p.z});
    return las;
}

RawSurvey raw_of(const fs::path& path) {
    Progress quiet;
    return read_las(path, quiet);
}

// Peak memory of this process so far, KiB.
long peak_kib() {
    std::ifstream status("/proc/self/status");
    for (std::string line; std::getline(status, line);)
        if (line.rfind("VmHWM:", 0) == 0) return std::stol(line.substr(6));
    return 0;
}

constexpr const char* kLambert = R"(PROJCS["RGF93 v1 / Lambert-93",GEOGCS["RGF93 v1",DATUM["Reseau Geodesique Francais 1993 v1",)"
                                 R"(SPHEROID["GRS 1980",6378137,298.257222101]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],)"
                                 R"(PROJECTION["Lambert_Conformal_Conic_2SP"],PARAMETER["latitude_of_origin",46.5],PARAMETER["central_meridian",3],)"
                                 R"(PARAMETER["standard_parallel_1",49],PARAMETER["standard_parallel_2",44],PARAMETER["false_easting",700000],)"
                                 R"(PARAMETER["false_northing",6600000],UNIT["metre",1],AUTHORITY["EPSG","2154"]])";

}  // namespace

TEST_CASE("every version and point format of LAS comes back within half a step, with class, flags and strip") {
    const Scratch folder;
    for (const auto& [minor, format] : std::vector<std::pair<int, int>>{{2, 0}, {2, 1}, {2, 2}, {2, 3}, {3, 1}, {3, 4}, {4, 1}, {4, 6}, {4, 7}, {4, 8}, {4, 10}}) {
        CAPTURE(minor);
        CAPTURE(format);
        for (const std::size_t extra : {std::size_t{0}, std::size_t{7}}) {
            LasFile las = sheet(minor, format, {650000, 6800000});
            las.extra_bytes = extra;
            las.points[3].kind = 6;
            las.points[4].withheld = true;
            las.points[5].overlap = true;
            las.points[6].strip = 4711;
            write_file(folder / "a.las", las.bytes());
            const RawSurvey raw = raw_of(folder / "a.las");
            REQUIRE(raw.points.size() == las.points.size());
            CHECK(raw.rows == las.points.size());
            for (std::size_t k = 0; k < raw.points.size(); ++k) {
                CHECK(std::abs(raw.points[k].x - las.points[k].x) <= 0.00051);
                CHECK(std::abs(raw.points[k].y - las.points[k].y) <= 0.00051);
                CHECK(std::abs(raw.points[k].z - las.points[k].z) <= 0.00051);
            }
            CHECK((raw.classes[3] & kClassBits) == 6);
            CHECK((raw.classes[0] & kClassBits) == 2);
            CHECK((raw.classes[4] & kWithheld) != 0);
            CHECK((raw.classes[5] & kOverlap) != 0);
            CHECK((raw.classes[0] & (kWithheld | kOverlap)) == 0);
            CHECK(raw.strips[6] == 4711);
            CHECK(raw.strips[0] == 1);
        }
    }
}

TEST_CASE("a LAS file takes its system from WKT before or behind the points, and from GeoKeys") {
    const Scratch folder;
    LasFile las = sheet(4, 6, {650000, 6800000});
    for (const bool behind : {false, true}) {
        las.records = {{"LASF_Projection", 2112, std::string(kLambert) + '\0', behind}};
        write_file(folder / "a.las", las.bytes());
        CHECK(read(folder / "a.las").frame.spec().crs_name == "EPSG:2154");
    }
    las.records = {{"LASF_Projection", 34735, geo_keys({{1024, 1}, {1025, 1}, {3072, 2154}, {3076, 9001}}), false}};
    write_file(folder / "a.las", las.bytes());
    CHECK(read(folder / "a.las").frame.spec().crs_name == "EPSG:2154");

    // Text that names no system is shown in one line.
    las.records = {{"LASF_Projection", 2112, "no\nsystem\x01", false}};
    write_file(folder / "a.las", las.bytes());
    CHECK(says(failure(folder / "a.las"), "'no?system?' names no coordinate system"));
    ReadOptions given;
    given.crs = "EPSG:2154";
    CHECK(read(folder / "a.las", given).frame.spec().crs_name == "EPSG:2154");
    CHECK(warns(read(folder / "a.las", given), "--crs is taken"));
    las.records = {{"LASF_Projection", 34735, geo_keys({{1024, 1}, {3072, 2154}}), false}};

    // A record of somebody else's is passed over.
    las.records.front().user = "other";
    write_file(folder / "a.las", las.bytes());
    CHECK(read(folder / "a.las").frame.spec().crs_name.empty());
}

TEST_CASE("heights of a LAS file: the vertical system or unit where there is one, else the plan's unit with a word") {
    const Scratch folder;
    // New York Long Island, US survey feet (EPSG:2263); a rise of 2 feet in 100 is 2 %.
    const auto heights = [&](std::vector<std::pair<std::uint16_t, std::uint16_t>> keys) {
        LasFile las = sheet(2, 1, {1000000, 200000}, 100);
        las.records = {{"LASF_Projection", 34735, geo_keys(keys), false}};
        write_file(folder / "a.las", las.bytes());
        return read(folder / "a.las");
    };
    const auto rise = [](const Survey& s) { return s.points[5].z - s.points[0].z; };
    const double units = patch({}, 0)[5].z - patch({}, 0)[0].z;

    const Survey plan = heights({{1024, 1}, {3072, 2263}});
    CHECK(rise(plan) == doctest::Approx(units * kUsSurveyFoot).epsilon(2e-3));
    CHECK(warns(plan, "does not say the unit of its heights"));
    // NAVD88 height in metres (EPSG:5703), and a unit of metres alone.
    const Survey vertical = heights({{1024, 1}, {3072, 2263}, {4096, 5703}});
    CHECK(rise(vertical) == doctest::Approx(units).epsilon(5e-3));
    CHECK_FALSE(warns(vertical, "unit of its heights"));
    const Survey unit = heights({{1024, 1}, {3072, 2263}, {4099, 9001}});
    CHECK(rise(unit) == doctest::Approx(units).epsilon(5e-3));

    // The option rules over both.
    ReadOptions feet;
    feet.height_units = "ft";
    CHECK(rise(read(folder / "a.las", feet)) == doctest::Approx(units * kFoot).epsilon(5e-3));

    // In metres the word is there too, and for a file without any system another one.
    LasFile metric = sheet(4, 6, {650000, 6800000});
    write_file(folder / "m.las", metric.bytes());
    CHECK(warns(read(folder / "m.las"), "names no coordinate system and no unit"));
    metric.records = {{"LASF_Projection", 2112, kLambert, false}};
    write_file(folder / "m.las", metric.bytes());
    CHECK(warns(read(folder / "m.las"), "does not say the unit of its heights; that of its plan, 1 m"));
}

TEST_CASE("the 64-bit count of LAS 1.4 rules, the older one serves where it is alone") {
    const Scratch folder;
    LasFile las = sheet(4, 6);
    las.legacy_count = false;
    write_file(folder / "a.las", las.bytes());
    CHECK(raw_of(folder / "a.las").points.size() == 36);
    las.legacy_count = true;
    las.wide_count = false;
    write_file(folder / "a.las", las.bytes());
    CHECK(raw_of(folder / "a.las").points.size() == 36);
    las.wide_count = true;
    std::string bytes = las.bytes();
    las::set(bytes, 107, std::uint32_t{30});
    write_file(folder / "a.las", bytes);
    const RawSurvey raw = raw_of(folder / "a.las");
    CHECK(raw.points.size() == 36);
    CHECK(says(raw.warnings.at(0), "36 points in one place of its header and 30 in another"));
}

TEST_CASE("a damaged LAS file is refused with one sentence and no great memory") {
    const Scratch folder;
    const auto told = [&](const std::string& bytes) {
        write_file(folder / "bad.las", bytes);
        return failure(folder / "bad.las");
    };
    const std::string whole = sheet(2, 1).bytes(), wide = sheet(4, 6).bytes();
    const auto spoilt = [](std::string bytes, std::size_t at, auto value) {
        las::set(bytes, at, value);
        return bytes;
    };

    // Cut short: in the header, in the points, at every length.
    CHECK(says(told(whole.substr(0, 100)), "100 bytes where a LAS or LAZ header has at least 227"));
    CHECK(says(told(whole.substr(0, whole.size() - 1)), "says 36 points, holds 35"));
    for (std::size_t n = 4; n < wide.size(); n += 13) CHECK_FALSE(told(wide.substr(0, n)).empty());

    // Counts: four billion, and 2^60.
    const long before = peak_kib();
    CHECK(says(told(spoilt(whole, 107, std::uint32_t{4'000'000'000})), "says 4000000000 points, holds 36; the file is cut short or its header is wrong"));
    CHECK(says(told(spoilt(wide, 247, std::uint64_t{1} << 60)), "says 1152921504606846976 points, holds 36"));
    CHECK(says(told(spoilt(whole, 107, std::uint32_t{0})), "holds no points"));
    CHECK(peak_kib() - before < 20'000);
    // Fewer than there are: those are read, with a word.
    write_file(folder / "few.las", spoilt(whole, 107, std::uint32_t{30}));
    CHECK(says(raw_of(folder / "few.las").warnings.at(0), "says 30 points and has room for 36"));

    // Places and lengths.
    CHECK(says(told(spoilt(whole, 96, std::uint32_t{4'000'000'000})), "says its points start at byte 4000000000"));
    CHECK(says(told(spoilt(whole, 96, std::uint32_t{5})), "says its points start at byte 5"));
    CHECK(says(told(spoilt(whole, 105, std::uint16_t{27})), "points of format 1 have 27 bytes each; 28 or more"));
    CHECK(says(told(spoilt(whole, 105, std::uint16_t{0})), "have 0 bytes each"));
    CHECK(says(told(spoilt(whole, 94, std::uint16_t{60000})), "header has 60000 bytes"));
    CHECK(says(told(spoilt(whole, 94, std::uint16_t{0})), "header has 0 bytes"));
    CHECK(says(told(spoilt(whole, 104, std::uint8_t{11})), "points of format 11"));
    CHECK(says(told(spoilt(whole, 24, std::uint8_t{2})), "is LAS 2.2"));
    CHECK(says(told(spoilt(whole, 131, 0.0)), "scale 0"));
    CHECK(says(told(spoilt(whole, 139, std::nan(""))), "scale nan"));
    CHECK(says(told(spoilt(whole, 163, std::numeric_limits<double>::infinity())), "offset inf"));

    // Records that lead nowhere cost the system and no more.
    write_file(folder / "r.las", spoilt(whole, 100, std::uint32_t{0xffffffff}));
    CHECK(says(raw_of(folder / "r.las").warnings.at(0), "says 4294967295 records before its points, holds 0"));
    write_file(folder / "r.las", spoilt(spoilt(wide, 235, ~std::uint64_t{0}), 243, std::uint32_t{1}));
    CHECK(says(raw_of(folder / "r.las").warnings.at(0), "says 1 records behind its points, holds 0"));
}

TEST_CASE("a LAS file tells the day it was surveyed by its GPS time, else no day at all, and when it was written") {
    const Scratch folder;
    LasFile las = sheet(4, 6);
    // 2024-06-01 00:00 UTC is 1401235218 s of GPS time (18 leap seconds; derived), adjusted by 1e9.
    for (LasPoint& p : las.points) p.gps_time = 401235218.0 + 3600;
    write_file(folder / "a.las", las.bytes());
    CHECK(raw_of(folder / "a.las").date == "2024-06-01");
    CHECK(raw_of(folder / "a.las").written == "2026-05-02");  // day 122
    las.encoding = 0;  // seconds of the week
    write_file(folder / "a.las", las.bytes());
    CHECK(raw_of(folder / "a.las").date.empty());
}

TEST_CASE("LAZ is read where LASzip is there, and else says what to do") {
    const Scratch folder;
    std::string bytes = sheet(2, 1).bytes();
    las::set(bytes, 104, std::uint8_t{1 | 0x80});
    write_file(folder / "a.laz", bytes);
    if (reads_laz()) CHECK_FALSE(failure(folder / "a.laz").empty());
    else CHECK(says(failure(folder / "a.laz"), "ask for LAS, or unpack it"));
}
