#include "core/survey/read_ply.h"

#include "tests/core/survey/survey_files.h"

using namespace brae;
using namespace brae::test;

namespace {

// A PLY with colours, a normal and an element before the vertices, in any encoding and order.
template <class T>
std::string ply(const std::vector<Vec3>& points, const std::string& format, std::size_t claim) {
    const char* type = sizeof(T) == 4 ? "float" : "double";
    std::string text = "ply\nformat " + format + " 1.0\ncomment by the tests\nelement camera 1\nproperty list uchar int a\n" +
                       "element vertex " + std::to_string(claim) + "\nproperty uchar red\nproperty " + type + " z\nproperty float nx\nproperty " +
                       type + " x\nproperty " + type + " y\nelement face 0\nproperty list uchar int vertex_indices\nend_header\n";
    const bool big = format == "binary_big_endian";
    if (format == "ascii") {
        text += "2 5 6\n";
        for (const Vec3& p : points) text += fmt::format("9 {} 0.5 {} {}\n", static_cast<T>(p.z), static_cast<T>(p.x), static_cast<T>(p.y));
        return text;
    }
    put<std::uint8_t>(text, 2);
    put<std::int32_t>(text, 5, big);
    put<std::int32_t>(text, 6, big);
    for (const Vec3& p : points) {
        put<std::uint8_t>(text, 9);
        put<T>(text, static_cast<T>(p.z), big);
        put<float>(text, 0.5f, big);
        put<T>(text, static_cast<T>(p.x), big);
        put<T>(text, static_cast<T>(p.y), big);
    }
    return text;
}

}  // namespace

TEST_CASE("PLY in every encoding keeps a tenth of a millimetre at coordinates of millions of metres") {
    const Scratch scratch;
    const std::vector<Vec3> points = patch({484958.123456, 6632656.654321}, 101.5);
    for (const char* format : {"ascii", "binary_little_endian", "binary_big_endian"}) {
        CAPTURE(format);
        write_file(scratch / "p.ply", ply<double>(points, format, points.size()));
        const Survey survey = read(scratch / "p.ply", metres());
        CHECK(largest_error(survey, points) < 1e-6);
        CHECK(survey.warnings.empty());
    }
    // Floats keep what floats can when the coordinates are small.
    const std::vector<Vec3> near = patch({3, 4}, 1.5);
    for (const char* format : {"ascii", "binary_little_endian", "binary_big_endian"}) {
        write_file(scratch / "f.ply", ply<float>(near, format, near.size()));
        const Survey survey = read(scratch / "f.ply", metres());
        CHECK(largest_error(survey, near) < 1e-6);
        CHECK(survey.warnings.empty());
        CHECK(survey.frame.spec().origin_map == Vec2{0, 0});
    }
}

TEST_CASE("32-bit numbers at large coordinates are called out with the size of their step") {
    const Scratch scratch;
    write_file(scratch / "f.ply", ply<float>(patch({484958, 6632656}, 20000), "binary_little_endian", 36));
    const Survey survey = read(scratch / "f.ply");
    // 6632656 lies between 2^22 and 2^23: steps of 0.5 m; 20000 between 2^14 and 2^15: 2^-9 m (IEEE 754, derived).
    CHECK(warns(survey, "step by 0.5 m"));
    CHECK(warns(survey, "step by 2 mm"));
}

TEST_CASE("short and lying PLY files are refused with what they say and what they hold") {
    const Scratch scratch;
    const std::vector<Vec3> points = patch({0, 0}, 1);
    const auto told = [&](const std::string& bytes) {
        write_file(scratch / "bad.ply", bytes);
        return failure(scratch / "bad.ply");
    };
    for (const char* format : {"ascii", "binary_little_endian"}) {
        CHECK(says(told(ply<double>(points, format, 1000)), "says 1000 vertices, holds 36"));
        CHECK(says(told(ply<double>(points, format, 4'000'000'000)), "says 4000000000 vertices, holds 36"));
    }
    std::vector<Vec3> hole = points;
    hole[16].z = NAN;
    CHECK(says(told(ply<double>(hole, "binary_little_endian", 36)), "vertex 17"));
    CHECK(says(told(ply<double>(hole, "ascii", 36)), "line 32: 'nan'"));
    CHECK(says(told("ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nend_header\n1 2\n"), "'z'"));
    CHECK(says(told("ply\nformat ascii 1.0\nelement vertex many\n"), "line 3"));
    CHECK(says(told("ply\nformat ascii 1.0\nelement vertex 3\n"), "ends inside"));
    CHECK(says(told("ply\nformat ternary 1.0\n"), "ternary"));
    CHECK(says(told("ply\nformat ascii 1.0\nelement face 3\nproperty float x\nend_header\n"), "no element 'vertex'"));
    std::string text = ply<double>(points, "ascii", 36);
    CHECK(says(told(text.replace(text.find("\n9 ") + 1, 1, "9 9")), "6 columns"));
}
