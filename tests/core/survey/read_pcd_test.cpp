#include "core/survey/read_pcd.h"

#include "tests/core/survey/survey_files.h"

using namespace brae;
using namespace brae::test;

namespace {

std::string head(const char* data, std::size_t points, int size) {
    return fmt::format("# .PCD v0.7\nVERSION 0.7\nFIELDS x y z\nSIZE {0} {0} {0}\nTYPE F F F\nCOUNT 1 1 1\nWIDTH {1}\nHEIGHT 1\n"
                       "VIEWPOINT 0 0 0 1 0 0 0\nPOINTS {1}\nDATA {2}\n", size, points, data);
}

}  // namespace

TEST_CASE("PCD gives back its points in ASCII and binary, with floats and doubles") {
    const Scratch scratch;
    const std::vector<Vec3> points = patch({484958.125, 6632656.25}, 101.5);
    std::string ascii = head("ascii", points.size(), 8), binary = head("binary", points.size(), 8);
    for (const Vec3& p : points) {
        ascii += fmt::format("{:.6f} {:.6f} {:.6f}\n", p.x, p.y, p.z);
        for (double v : {p.x, p.y, p.z}) put(binary, v);
    }
    write_file(scratch / "a.pcd", ascii);
    write_file(scratch / "b.pcd", binary);
    CHECK(largest_error(read(scratch / "a.pcd"), points) < 1e-5);
    CHECK(largest_error(read(scratch / "b.pcd"), points) < 1e-6);
}

TEST_CASE("PCD files of 32-bit numbers at large coordinates warn, and missing returns are left out") {
    const Scratch scratch;
    std::string bytes = head("binary", 37, 4);
    for (const Vec3& p : patch({484958, 6632656}, 100))
        for (double v : {p.x, p.y, p.z}) put(bytes, static_cast<float>(v));
    for (int k = 0; k < 3; ++k) put(bytes, NAN);
    write_file(scratch / "f.pcd", bytes);
    const Survey survey = read(scratch / "f.pcd");
    CHECK(warns(survey, "step by 0.5 m"));
    CHECK(warns(survey, "1 of 37 points without a position"));
    CHECK(survey.points.size() == 36);
    CHECK(survey.points_read == 37);
}

TEST_CASE("compressed PCD comes back, and a stream that reaches outside itself is refused before anything unpacks it") {
    const Scratch scratch;
    // LZF: a literal run of n bytes is n - 1 and the bytes; fields stand one behind the other, not point by point.
    const std::vector<Vec3> points = patch({3, 4}, 1.5);
    std::string plain, packed;
    for (double Vec3::*axis : {&Vec3::x, &Vec3::y, &Vec3::z})
        for (const Vec3& p : points) put(plain, static_cast<float>(p.*axis));
    for (std::size_t at = 0; at < plain.size(); at += 32) {
        const std::string run = plain.substr(at, 32);
        packed += static_cast<char>(run.size() - 1);
        packed += run;
    }
    const auto file = [&](const std::string& stream, std::size_t says) {
        std::string bytes = head("binary_compressed", points.size(), 4);
        put(bytes, static_cast<std::uint32_t>(stream.size()));
        put(bytes, static_cast<std::uint32_t>(says));
        write_file(scratch / "c.pcd", bytes + stream);
    };
    file(packed, plain.size());
    CHECK(largest_error(read(scratch / "c.pcd"), points) < 1e-6);
    std::string back = packed;
    back[0] = '\x3f';  // now a reference to before the start
    file(back, plain.size());
    CHECK(says(failure(scratch / "c.pcd"), "cannot be unpacked"));
    file(packed.substr(0, packed.size() - 3), plain.size());
    CHECK(says(failure(scratch / "c.pcd"), "cannot be unpacked"));
    file(packed, plain.size() - 12);
    CHECK(says(failure(scratch / "c.pcd"), "says 36 points"));
}

TEST_CASE("a PCD header without a size, or with words of its own, is refused") {
    const Scratch scratch;
    const auto told = [&](const std::string& header) {
        write_file(scratch / "h.pcd", header + "DATA ascii\n1 2 3\n");
        return failure(scratch / "h.pcd");
    };
    const std::string start = "# .PCD v0.7\nVERSION 0.7\nFIELDS x y z\nSIZE 4 4 4\nTYPE F F F\n";
    CHECK(says(told(start + "HEIGHT 1\nPOINTS 1\n"), "no WIDTH line"));
    CHECK(says(told(start + "WIDTH 1\nHEIGHT 1\n"), "no POINTS line"));
    CHECK(says(told(start + "WKDTH 1\nHEIGHT 1\n"), "'WKDTH 1' in the PCD header cannot be followed"));
    CHECK(says(told(start + "WIDTH 1\nWIDTH 1\n"), "line 7: 'WIDTH 1'"));
    CHECK(says(told(start + "WIDTH 0\nHEIGHT 0\nPOINTS 0\n"), "holds no points"));
}

TEST_CASE("short and lying PCD files are refused where Open3D would hide it") {
    const Scratch scratch;
    std::string rows;
    for (const Vec3& p : patch({0, 0}, 1)) rows += fmt::format("{:.3f} {:.3f} {:.3f}\n", p.x, p.y, p.z);
    const auto told = [&](const std::string& bytes) {
        write_file(scratch / "bad.pcd", bytes);
        return failure(scratch / "bad.pcd");
    };
    CHECK(says(told(head("ascii", 50, 4) + rows), "says 50 points, holds 36"));
    CHECK(says(told(head("binary", 50, 4) + std::string(120, '\1')), "says 50 points, holds 10"));
    CHECK(says(told(head("binary", 4'000'000'000, 4) + std::string(120, '\1')), "says 4000000000 points, holds 10"));
    CHECK(says(told(head("ascii", 37, 4) + rows + "1 two 3\n"), "line 48: 'two'"));
    CHECK(says(told(head("ascii", 37, 4) + rows + "1 2\n"), "2 columns"));
    CHECK(says(told("# .PCD v0.7\nVERSION 0.7\nFIELDS x y\nSIZE 4 4\nTYPE F F\nWIDTH 1\nHEIGHT 1\nPOINTS 1\nDATA ascii\n1 2\n"), "'z'"));
    CHECK(says(told("# .PCD v0.7\nVERSION 0.7\n"), "DATA"));
}
