#include "core/survey/read_obj.h"

#include "tests/core/survey/survey_files.h"

using namespace brae;
using namespace brae::test;

namespace {

std::string mesh(const std::vector<Vec3>& points, const std::string& behind = "") {
    std::string text = "# a mesh\nmtllib other.mtl\no ground\n";
    for (const Vec3& p : points) text += fmt::format("v {:.6f} {:.6f} {:.6f}{}\nvn 0 0 1\n", p.x, p.y, p.z, behind);
    return text + "f 1//1 2//2 8//8\n";
}

}  // namespace

TEST_CASE("the vertices of an OBJ mesh come back whatever stands beside them, with and without the name") {
    const Scratch scratch;
    const std::vector<Vec3> points = patch({484958.25, 6632656.75}, 101.5);
    for (const char* name : {"a.obj", "b.txt"})
        for (const char* behind : {"", " 1.0", " 0.2 0.3 0.4"}) {
            write_file(scratch / name, mesh(points, behind));
            const Survey survey = read(scratch / name, metres());
            CHECK(largest_error(survey, points) < 1e-5);
            CHECK(survey.warnings.empty());
        }
}

TEST_CASE("a mesh with its second axis up is turned, and one with its third axis up is not") {
    const Scratch scratch;
    const std::vector<Vec3> points = patch({3, 4}, 1.5, 12);
    std::vector<Vec3> up;
    for (const Vec3& p : points) up.push_back({p.x, p.z, -p.y});
    write_file(scratch / "a.obj", mesh(up));
    const Survey turned = read(scratch / "a.obj");
    CHECK(warns(turned, "second axis up"));
    CHECK(largest_error(turned, points) < 1e-5);
    write_file(scratch / "b.obj", mesh(points));
    CHECK_FALSE(warns(read(scratch / "b.obj"), "axis"));
}

TEST_CASE("an OBJ mesh with a spoilt vertex or none is refused with its line") {
    const Scratch scratch;
    const auto told = [&](const std::string& text) {
        write_file(scratch / "a.obj", text);
        return failure(scratch / "a.obj");
    };
    CHECK(says(told("v 1 2 3\nv 1 two 3\n"), "line 2: 'two' where a finite number is wanted"));
    CHECK(says(told("v 1 2 3\nv 1 2\n"), "line 2: 'v 1 2' where a vertex of three numbers is wanted"));
    CHECK(says(told("v 1 2 nan\n"), "line 1: 'nan'"));
    CHECK(says(told("# nothing\no a\nvn 0 0 1\n"), "without vertices"));
}

TEST_CASE("numbers that went through 32 bits are told in text and in 64-bit files, and decimal grids are not") {
    const Scratch scratch;
    std::string text, plain, grid;
    for (const Vec3& p : patch({484958.25, 6632656.75}, 101.5, 20)) {
        text += fmt::format("{:.6f} {:.6f} {:.4f}\n", static_cast<double>(static_cast<float>(p.x)), static_cast<double>(static_cast<float>(p.y)), p.z);
        plain += fmt::format("{:.3f} {:.3f} {:.4f}\n", p.x, p.y, p.z);
    }
    for (int j = 0; j < 20; ++j)
        for (int i = 0; i < 20; ++i) grid += fmt::format("{} {} {:.2f}\n", 484950.5 + i, 6632650.5 + 2 * j, 100 + 0.01 * i);
    write_file(scratch / "a.xyz", text);
    write_file(scratch / "b.xyz", plain);
    write_file(scratch / "c.xyz", grid);
    CHECK(warns(read(scratch / "a.xyz"), "step by 0.5"));
    CHECK_FALSE(warns(read(scratch / "b.xyz"), "32-bit"));
    CHECK_FALSE(warns(read(scratch / "c.xyz"), "32-bit"));
}
