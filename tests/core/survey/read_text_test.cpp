#include "core/survey/read_text.h"

#include "core/survey/text_file.h"
#include "tests/core/survey/survey_files.h"

using namespace brae;
using namespace brae::test;

namespace {

std::string comma(double v) {
    std::string text = fmt::format("{:.4f}", v);
    std::replace(text.begin(), text.end(), '.', ',');
    return text;
}

}  // namespace

TEST_CASE("text surveys give back their numbers under every separator, decimal sign and header") {
    const Scratch scratch;
    const std::vector<Vec3> points = patch({484958.25, 6632656.75}, 101.5);
    struct Style {
        const char* file;
        std::string head;
        std::function<std::string(int, const Vec3&)> row;
        bool levels;
    };
    const Style styles[] = {
        {"a.xyz", "", [](int, const Vec3& p) { return fmt::format("{:.6f} {:.6f} {:.6f}\n", p.x, p.y, p.z); }, false},
        {"b.xyz", "//X Y Z R G B\n", [](int, const Vec3& p) { return fmt::format("{:.6f} {:.6f} {:.6f} 10 200 30\n", p.x, p.y, p.z); }, false},
        {"c.pts", "36\n", [](int, const Vec3& p) { return fmt::format("{:.6f} {:.6f} {:.6f} -1200 10 200 30\n", p.x, p.y, p.z); }, false},
        {"d.csv", "Point,Easting,Northing,Elevation,Code\r\n",
         [](int i, const Vec3& p) { return fmt::format("{},{:.6f},{:.6f},{:.6f},GRD\r\n", i, p.x, p.y, p.z); }, true},
        {"e.csv", "", [](int i, const Vec3& p) { return fmt::format("{},{:.6f},{:.6f},{:.6f},\n", i, p.x, p.y, p.z); }, true},
        {"f.csv", "Height (m);Northing (m);Easting (m)\n",
         [](int, const Vec3& p) { return comma(p.z) + ";" + comma(p.y) + ";" + comma(p.x) + "\n"; }, false},
        {"g.txt", "", [](int, const Vec3& p) { return comma(p.x) + " " + comma(p.y) + "  " + comma(p.z) + "\n"; }, false},
        {"h.txt", "Name\tN\tE\tH\tDesc\n",
         [](int i, const Vec3& p) { return fmt::format("P{}\t{:.6f}\t{:.6f}\t{:.6f}\tturf\n", i, p.y, p.x, p.z); }, true},
        {"i.txt", "# from the field\n\n", [](int i, const Vec3& p) { return fmt::format("{} {:.6f} {:.6f} {:.6f} GND\n", i + 100, p.x, p.y, p.z); }, true},
        {"j.csv", "\xef\xbb\xbf" "ID;\"X\";\"Y\";\"Z\"\n",
         [](int i, const Vec3& p) { return fmt::format("\"no;{}\";{};{};{}\n", i, comma(p.x), comma(p.y), comma(p.z)); }, true},
        {"k.csv", "", [](int, const Vec3& p) { return fmt::format("{:.6f}, {:.6f}, {:.6f}\n", p.x, p.y, p.z); }, false},
        {"m.txt", "East|North|Level|Code\n", [](int, const Vec3& p) { return fmt::format("{:.6f} | {:.6f}|{:.6f}|GRD\n", p.x, p.y, p.z); }, true},
        {"n.xyzn", "", [](int, const Vec3& p) { return fmt::format("{:.6f} {:.6f} {:.6f} 0.01 -0.02 0.9997\n", p.x, p.y, p.z); }, false},
        {"l.csv", "", [](int i, const Vec3& p) { return fmt::format("A{},{:.6f},+{:.6f},{:.6f}\n", i, p.x, p.y, p.z); }, true},
    };
    for (const Style& style : styles) {
        CAPTURE(style.file);
        std::string text = style.head;
        for (std::size_t i = 0; i < points.size(); ++i) text += style.row(static_cast<int>(i) + 1, points[i]);
        write_file(scratch / style.file, text);
        Progress quiet;
        CHECK((read_text(scratch / style.file, quiet).kind == RawSurvey::Kind::levels) == style.levels);
        const Survey survey = read(scratch / style.file, metres());
        CHECK(survey.points_read == points.size());
        CHECK(largest_error(survey, points) < 1e-4);
        CHECK(survey.frame.spec().origin_map == Vec2{484958, 6632656});
        CHECK(survey.frame.spec().origin_height_m == 101);
        CHECK(survey.warnings.empty());
    }
}

TEST_CASE("units in a header or an option become metres") {
    const Scratch scratch;
    const std::vector<Vec3> points = patch({1000, 2000}, 50);
    std::string text = "Easting (ft),Northing (ft),Elev_ft\n";
    for (const Vec3& p : points) text += fmt::format("{:.6f},{:.6f},{:.6f}\n", p.x / 0.3048, p.y / 0.3048, p.z / 0.3048);
    write_file(scratch / "ft.csv", text);
    const Survey survey = read(scratch / "ft.csv");
    REQUIRE(survey.points.size() == points.size());
    CHECK(survey.points[7].x == doctest::Approx(points[7].x).epsilon(1e-7));
    CHECK(survey.points[7].z + survey.frame.spec().origin_height_m == doctest::Approx(points[7].z).epsilon(1e-7));
    CHECK(survey.frame.spec().metres_per_unit == 0.3048);

    // The same numbers without a word about units, told by options: plan in metres, heights in feet.
    text.clear();
    for (const Vec3& p : points) text += fmt::format("{:.6f} {:.6f} {:.6f}\n", p.x, p.y, p.z / 0.3048);
    write_file(scratch / "mixed.xyz", text);
    ReadOptions options;
    options.height_units = "ft";
    const Survey mixed = read(scratch / "mixed.xyz", options);
    CHECK(mixed.points[7].x == doctest::Approx(points[7].x));
    CHECK(mixed.points[7].z + mixed.frame.spec().origin_height_m == doctest::Approx(points[7].z));
    options.height_units = "cubits";
    CHECK(says(failure(scratch / "mixed.xyz", options), "'cubits'"));
}

TEST_CASE("longitude and latitude in a header are placed on the ground") {
    const Scratch scratch;
    std::string text = "Latitude,Longitude,Height\n";
    for (int j = 0; j < 5; ++j)
        for (int i = 0; i < 5; ++i) text += fmt::format("{:.9f},{:.9f},{:.3f}\n", 56.30 + 1e-5 * j, -2.50 + 1e-5 * i, 20 + 0.01 * i);
    write_file(scratch / "gps.csv", text);
    const Survey survey = read(scratch / "gps.csv");
    CHECK(survey.frame.spec().local_tm);
    // Length of a degree of latitude and longitude at 56.3 degrees on WGS 84: 111,347 m and 61,902 m (derived, 0.02 %).
    CHECK(survey.points[20].y - survey.points[0].y == doctest::Approx(4e-5 * 111347).epsilon(5e-4));
    CHECK(survey.points[4].x - survey.points[0].x == doctest::Approx(4e-5 * 61902).epsilon(5e-4));
    CHECK(warns(survey, "WGS 84"));
}

TEST_CASE("text that is no survey is refused with its line and what stands there") {
    const Scratch scratch;
    std::string good;
    for (const Vec3& p : patch({0, 0}, 1)) good += fmt::format("{:.3f} {:.3f} {:.3f}\n", p.x, p.y, p.z);
    const auto told = [&](const std::string& text, const char* file = "bad.xyz") {
        write_file(scratch / file, text);
        return failure(scratch / file);
    };
    CHECK(says(told(good + "1.0 abc 2.0\n"), "bad.xyz', line 37: 'abc'"));
    CHECK(says(told(good + "1.0 nan 2.0\n"), "line 37: northing is 'nan'"));
    CHECK(says(told(good + "1.0 2.0 inf\n"), "line 37: height is 'inf'"));
    CHECK(says(told(good + "1.0 2.0\n"), "line 37: 2 columns"));
    CHECK(says(told(good + "1.0 2.0 3.0 4.0\n"), "the first row has 3"));
    CHECK(says(told(good + "1.0,2.0,3.0\n"), "line 37: 1 column in '1.0,2.0,3.0'"));
    CHECK(says(told("foo bar baz\nqux\n"), "line 1: 'foo bar baz'"));
    CHECK(says(told("foo bar baz\n" + good), "line 1: 'foo bar baz'"));
    CHECK(says(told("1 2 3\n4 5 6\n7 8 10\n"), "3 points"));
    CHECK(says(told("1 2 3\n4 5 6\n7 8 10\n"), "at least 10"));
    CHECK(says(told("40\n" + good, "count.pts"), "says 40 points, holds 36"));
    CHECK(says(told(good + std::string(3'000'000, '7') + "\n"), "line 37"));
    CHECK(told(good + std::string(3'000'000, '7') + "\n").size() < 400);
    CHECK(says(told("1,2.5,3.5,4.5\n2;2.5;3.5;4.5\n", "mixed.csv"), "line 1"));
    CHECK(says(told("Point,Easting,Elevation\n1,2,3\n2,3,4\n", "head.csv"), "names no column of northings; one such as Northing is wanted"));
    CHECK(says(told("name,x,y\nS1,2,3\nS2,3,4\n", "marks.csv"), "names no column of heights; one such as Elevation is wanted"));
    CHECK(says(told("Point,Easting,Northing,Elevation,Code\n", "alone.csv"), "and no points; a line for each point is wanted"));
    CHECK(says(told("Point,Easting\n1,2\n2,3\n", "head2.csv"), "Easting,Northing"));
    CHECK(says(told("\n\n# nothing\n", "comments.csv"), "no line with data"));
    CHECK(says(told("   \n\n", "blank.csv"), "blank"));
}

TEST_CASE("decimal commas in quotes are read, and without quotes the doubt is named") {
    const Scratch scratch;
    const auto written = patch({484958, 6632656}, 100);
    const auto comma = [](double v) {
        std::string text = fmt::format("{:.4f}", v);
        std::replace(text.begin(), text.end(), '.', ',');
        return text;
    };
    std::string quoted = "E,N,H\n", split, plain_text;
    for (const Vec3& p : written) {
        quoted += fmt::format("\"{}\",\"{}\",\"{}\"\n", comma(p.x), comma(p.y), comma(p.z));
        split += fmt::format("{},{},{}\n", comma(p.x), comma(p.y), comma(p.z));
        plain_text += fmt::format("{:.4f},{:.4f},{:.4f},\"12,5\"\n", p.x, p.y, p.z);
    }
    write_file(scratch / "quoted.csv", quoted);
    CHECK(largest_error(read(scratch / "quoted.csv"), written) < 7.1e-5);
    write_file(scratch / "bare.csv", quoted.substr(quoted.find('\n') + 1));
    CHECK(largest_error(read(scratch / "bare.csv"), written) < 7.1e-5);
    write_file(scratch / "split.csv", split);
    CHECK(says(failure(scratch / "split.csv"), "may be six whole numbers or three with decimal commas"));
    // A remark that looks like a number with a comma changes nothing.
    write_file(scratch / "remark.csv", plain_text);
    CHECK(largest_error(read(scratch / "remark.csv"), written) < 7.1e-5);
    // Whole numbers with colours are no split decimals.
    std::string colours;
    for (int k = 0; k < 100; ++k) colours += fmt::format("{},{},{},{},{},{}\n", 10 + k % 10, 20 + k / 10, 5, 100 + k, 120, 130);
    write_file(scratch / "colours.xyz", colours);
    CHECK(read(scratch / "colours.xyz").points.size() == 100);
}

TEST_CASE("letters of one byte are read as Latin-1 with a warning, UTF-8 stays as it is") {
    const Scratch scratch;
    std::string latin = "Punkt,Rechtswert,Hochwert,H\xf6he,Code,Description\n", utf8 = "Punkt,Rechtswert,Hochwert,H\xc3\xb6he,Code,Description\n";
    for (const Vec3& p : patch({0, 0}, 1)) {
        const std::string row = fmt::format("{},{:.4f},{:.4f},{:.4f},GND,\n", latin.size(), p.x, p.y, p.z);
        latin += row;
        utf8 += row;
    }
    latin += "S1,1,1,1.0,SPR,vorn f\xfcnf \x80\n";
    utf8 += "S1,1,1,1.0,SPR,vorn f\xc3\xbcnf\n";
    write_file(scratch / "latin.csv", latin);
    write_file(scratch / "utf8.csv", utf8);
    const Survey a = read(scratch / "latin.csv"), b = read(scratch / "utf8.csv");
    REQUIRE(a.marks.size() == 1);
    REQUIRE(b.marks.size() == 1);
    CHECK(a.marks[0].description == "vorn f\xc3\xbcnf \xef\xbf\xbd");
    CHECK(b.marks[0].description == "vorn f\xc3\xbcnf");
    CHECK(warns(a, "read as Latin-1"));
    CHECK_FALSE(warns(b, "Latin-1"));
}

// RFC 3629: the borders of each length, and what it forbids.
TEST_CASE("bytes are UTF-8 or they are not") {
    for (const char* good : {"", "plain ASCII of some length", "\xc2\x80", "\xdf\xbf", "\xe0\xa0\x80", "\xed\x9f\xbf", "\xee\x80\x80", "\xf0\x90\x80\x80",
                             "\xf4\x8f\xbf\xbf", "1234567\xc3\xb6 8 bytes"})
        CHECK(is_utf8(good));
    for (const char* bad : {"\x80", "\xc0\xaf", "\xc1\xbf", "\xe0\x9f\xbf", "\xed\xa0\x80", "\xf0\x8f\xbf\xbf", "\xf4\x90\x80\x80", "\xf5\x80\x80\x80", "\xc3",
                            "\xe2\x82", "f\xfcnf", "\xe2\x28\xa1"})
        CHECK_FALSE(is_utf8(bad));
}

TEST_CASE("metres are never taken silently: a file without unit and system warns, one with either does not") {
    const Scratch scratch;
    std::string text;
    for (const Vec3& p : patch({0, 0}, 1)) text += fmt::format("{:.3f},{:.3f},{:.3f}\n", p.x, p.y, p.z);
    write_file(scratch / "a.csv", text);
    write_file(scratch / "b.csv", "Easting (m),Northing (m),Height (m)\n" + text);
    CHECK(warns(read(scratch / "a.csv"), "names no coordinate system and no unit; metres are taken"));
    CHECK(read(scratch / "b.csv").warnings.empty());
    CHECK(read(scratch / "a.csv", metres()).warnings.empty());
    ReadOptions placed;
    placed.crs = "EPSG:2154";
    CHECK_FALSE(warns(read(scratch / "a.csv", placed), "no unit"));
}

TEST_CASE("separators that change on the way are named with their line") {
    const Scratch scratch;
    std::string text;
    for (const Vec3& p : patch({0, 0}, 1)) text += fmt::format("{:.3f},{:.3f},{:.3f}\n", p.x, p.y, p.z);
    write_file(scratch / "a.csv", text + "1.0;2.0;3.0\n");
    CHECK(says(failure(scratch / "a.csv"), "line 37: 1 column in '1.0;2.0;3.0' where the first row has 3; semicolons stand between its columns, commas between those of the first row"));
    write_file(scratch / "b.csv", text + "1.0 2.0 3.0\n");
    CHECK(says(failure(scratch / "b.csv"), "line 37: 1 column in '1.0 2.0 3.0'"));
    // A header or a first row under another sign than the rest.
    write_file(scratch / "d.csv", "x;y;z\n" + text);
    CHECK(says(failure(scratch / "d.csv"), "line 1: 'x;y;z' has semicolons between its columns and the lines behind it have another sign"));
    write_file(scratch / "e.csv", "1.0;2.0;3.0\n" + text);
    CHECK(says(failure(scratch / "e.csv"), "line 1: '1.0;2.0;3.0' has semicolons between its columns"));
    write_file(scratch / "c.csv", text + "1.0\t2.0,3.0,4.0\n");
    CHECK(says(failure(scratch / "c.csv"), "line 37: '1.0?2.0' where a number is wanted (easting, column 1)"));
}

TEST_CASE("a line of 200 MB is refused with its number, wherever it stands and whatever its letters") {
    const Scratch scratch;
    const std::string piece(1 << 20, '7'), latin(1 << 20, '\xe9');
    for (const std::string* fill : {&piece, &latin}) {
        for (const int before : {0, 100}) {
            {
                std::ofstream out(scratch / "long.xyz", std::ios::binary);
                for (int k = 0; k < before; ++k) out << k << " 1 2\n";
                for (int k = 0; k < 200; ++k) out.write(fill->data(), static_cast<std::streamsize>(fill->size()));
                out << "\n1 2 3\n";
            }
            const std::string told = failure(scratch / "long.xyz");
            CHECK(says(told, fmt::format("line {}: it is 209715200 bytes long", before + 1)));
            CHECK(told.size() < 500);
        }
    }
}
