#include "core/export/surface_mesh_file.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "tests/support/support.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <open3d/geometry/TriangleMesh.h>
#include <open3d/io/TriangleMeshIO.h>

using namespace brae;

namespace {

// A disc of radius 8 m round (10, 10) on a plane of 3 %, with a gap.
TerrainModel disc() {
    TerrainModel t;
    std::vector<Vec2> ring;
    for (int k = 0; k < 180; ++k) ring.push_back({10 + 8 * std::cos(k * kPi / 90), 10 + 8 * std::sin(k * kPi / 90)});
    t.outline = Outline(ring, OutlineSource::drawn).with_gaps({{{8, 8}, {9, 8}, {9, 9}, {8, 9}}});
    // A B-spline whose coefficients are a plane is that plane.
    SplineGrid g{44, 44, -0.5, -0.5, 0.5, {}};
    for (int j = 0; j < g.rows; ++j)
        for (int i = 0; i < g.columns; ++i) g.coefficients.push_back(0.03 * (g.x0 + i * g.cell));
    t.surface = std::make_shared<const SplineSurface>(g);
    t.grid.height = Raster(40, 40, 0, 0, 0.5);
    return t;
}

// Area of the mesh seen from above, and whether every triangle turns counter-clockwise there.
double plan_area(const TriangleMesh& mesh, bool& all_up) {
    double area = 0;
    all_up = true;
    for (const auto& t : mesh.triangles) {
        const auto flat = [&](int k) { return Vec2{mesh.vertices[k].x, mesh.vertices[k].y}; };
        const double twice = cross(flat(t.b) - flat(t.a), flat(t.c) - flat(t.a));
        all_up = all_up && twice > 0;
        area += twice / 2;
    }
    return area;
}

}  // namespace

TEST_CASE("the mesh covers the green and nothing else, faces up, and lies on the surface") {
    const TerrainModel t = disc();
    Progress progress;
    for (double step : {0.0, 0.2, 0.8}) {
        const TriangleMesh mesh = triangulate(t, step, progress);
        bool all_up = false;
        CHECK(plan_area(mesh, all_up) == doctest::Approx(t.outline.area_m2()).epsilon(0.001));
        CHECK(all_up);
        double worst = 0;
        for (const Vec3& v : mesh.vertices) worst = std::max(worst, std::abs(v.z - 0.03 * v.x));
        CHECK(worst < 1e-9);
        CHECK(norm(mesh.normals.front()) == doctest::Approx(1));
    }
    CHECK_THROWS_AS(triangulate(t, 0.01, progress), Error);
}

TEST_CASE("PLY, OBJ and GLB come back through Open3D with every vertex where it was") {
    const test::Scratch scratch;
    Progress progress;
    const TriangleMesh mesh = triangulate(disc(), 0.5, progress);
    for (const char* name : {"m.ply", "m.obj", "m.glb"}) {
        CAPTURE(name);
        write_mesh_file(mesh, scratch / name);
        open3d::geometry::TriangleMesh read;
        REQUIRE(open3d::io::ReadTriangleMesh((scratch / name).string(), read));
        CHECK(read.triangles_.size() == mesh.triangles.size());
        REQUIRE(read.vertices_.size() == mesh.vertices.size());
        double worst = 0;
        for (std::size_t k = 0; k < mesh.vertices.size(); ++k) {
            const Vec3& v = mesh.vertices[k];
            const bool y_up = std::string(name) == "m.glb";
            const Eigen::Vector3d wanted = y_up ? Eigen::Vector3d(v.x, v.z, -v.y) : Eigen::Vector3d(v.x, v.y, v.z);
            worst = std::max(worst, (read.vertices_[k] - wanted).cwiseAbs().maxCoeff());
        }
        CHECK(worst < (std::string(name) == "m.ply" ? 1e-12 : 2e-6));
        // Faces still turn counter-clockwise, and the normals came along.
        REQUIRE(read.triangles_.front() == Eigen::Vector3i(mesh.triangles.front().a, mesh.triangles.front().b, mesh.triangles.front().c));
        REQUIRE(read.vertex_normals_.size() == mesh.normals.size());
    }
}

TEST_CASE("a GLB has the header of glTF 2.0 and is y up") {
    const test::Scratch scratch;
    Progress progress;
    write_mesh_file(triangulate(disc(), 1, progress), scratch / "m.glb");
    std::ifstream in(scratch / "m.glb", std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(in), {}};
    // Khronos glTF 2.0, binary form: magic, version 2, length of the whole file.
    REQUIRE(bytes.size() > 20);
    CHECK(bytes.substr(0, 4) == "glTF");
    CHECK(bytes[4] == 2);
    std::uint32_t length = 0;
    for (int k = 3; k >= 0; --k) length = length << 8 | static_cast<unsigned char>(bytes[static_cast<std::size_t>(8 + k)]);
    CHECK(length == bytes.size());
    // The box of the positions: heights of 0.06 to 0.54 m are the second coordinate, north is minus the third.
    const auto json = nlohmann::json::parse(bytes.substr(20, bytes.find("BIN", 20) - 24));
    const int positions = json["meshes"][0]["primitives"][0]["attributes"]["POSITION"];
    const auto& low = json["accessors"][static_cast<std::size_t>(positions)]["min"];
    const auto& high = json["accessors"][static_cast<std::size_t>(positions)]["max"];
    CHECK(low[1].get<double>() == doctest::Approx(0.06).epsilon(0.01));
    CHECK(high[1].get<double>() == doctest::Approx(0.54).epsilon(0.01));
    CHECK(high[2].get<double>() == doctest::Approx(-2).epsilon(0.01));
    CHECK(std::distance(test::fs::directory_iterator(scratch.path()), test::fs::directory_iterator()) == 1);
}

TEST_CASE("a mesh of another ending, or in a folder that is missing, is refused and leaves nothing") {
    const test::Scratch scratch;
    Progress progress;
    const TriangleMesh mesh = triangulate(disc(), 1, progress);
    CHECK_THROWS_AS(write_mesh_file(mesh, scratch / "m.stl"), Error);
    CHECK_THROWS_AS(write_mesh_file(mesh, scratch / "none/m.ply"), Error);
    CHECK(test::fs::is_empty(scratch.path()));
}
