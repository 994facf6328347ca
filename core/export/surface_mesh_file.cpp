#include "core/export/surface_mesh_file.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <fmt/format.h>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <ogr_geometry.h>

namespace brae {
namespace {

namespace fs = std::filesystem;

// Vertices that are met again are found by their place, to the micrometre.
class MeshBuilder {
public:
    explicit MeshBuilder(const SplineSurface& surface) : surface_(surface) {}
    int vertex(Vec2 p) {
        const std::pair<long long, long long> key{std::llround(p.x * 1e6), std::llround(p.y * 1e6)};
        const auto [at, is_new] = seen_.try_emplace(key, static_cast<int>(mesh.vertices.size()));
        if (is_new) {
            const SurfaceJet j = surface_.jet(p.x, p.y);
            const double w = std::sqrt(1 + j.hx * j.hx + j.hy * j.hy);
            mesh.vertices.push_back({p.x, p.y, j.h});
            mesh.normals.push_back({-j.hx / w, -j.hy / w, 1 / w});
        }
        return at->second;
    }
    void triangle(Vec2 a, Vec2 b, Vec2 c) {
        const double twice = cross(b - a, c - a);
        if (std::abs(twice) < 1e-9) return;   // a sliver of no area
        if (twice < 0) std::swap(b, c);
        const TriangleMesh::Triangle t{vertex(a), vertex(b), vertex(c)};
        if (t.a != t.b && t.b != t.c && t.a != t.c) mesh.triangles.push_back(t);
    }
    TriangleMesh mesh;

private:
    const SplineSurface& surface_;
    std::map<std::pair<long long, long long>, int> seen_;
};

OGRLinearRing closed_ring(const std::vector<Vec2>& points) {
    OGRLinearRing ring;
    for (const Vec2& p : points) ring.addPoint(p.x, p.y);
    ring.closeRings();
    return ring;
}

OGRPolygon polygon_of(const Outline& outline) {
    OGRPolygon polygon;
    OGRLinearRing ring = closed_ring(outline.ring());
    polygon.addRing(&ring);
    for (const auto& gap : outline.gaps()) {
        OGRLinearRing hole = closed_ring(gap);
        polygon.addRing(&hole);
    }
    return polygon;
}

// The part of a square inside the green, in triangles.
void add_clipped(MeshBuilder& builder, const Outline& outline, const OGRPolygon& green, const std::vector<Vec2>& corners) {
    OGRPolygon square;
    OGRLinearRing ring = closed_ring(corners);
    square.addRing(&ring);
    const std::unique_ptr<OGRGeometry> part(green.Intersection(&square));
    if (!part || part->IsEmpty()) return;
    const std::unique_ptr<OGRGeometry> pieces(part->DelaunayTriangulation(0, false));
    if (!pieces || wkbFlatten(pieces->getGeometryType()) != wkbGeometryCollection) return;
    for (const OGRGeometry* piece : *pieces->toGeometryCollection()) {
        const OGRLinearRing* t = piece->toPolygon()->getExteriorRing();
        const Vec2 a{t->getX(0), t->getY(0)}, b{t->getX(1), t->getY(1)}, c{t->getX(2), t->getY(2)};
        if (outline.contains((1.0 / 3) * (a + b + c))) builder.triangle(a, b, c);
    }
}

template <class T>
void append(std::string& bytes, T value) {
    const std::size_t at = bytes.size();
    bytes.resize(at + sizeof value);
    std::memcpy(bytes.data() + at, &value, sizeof value);
}

// PLY, binary, little-endian: G. Turk, "The PLY Polygon File Format", 1994 (from memory).
std::string ply_of(const TriangleMesh& mesh) {
    std::string out = fmt::format("ply\nformat binary_little_endian 1.0\ncomment local metres, z up\nelement vertex {}\n", mesh.vertices.size());
    for (const char* name : {"x", "y", "z", "nx", "ny", "nz"}) out += fmt::format("property double {}\n", name);
    out += fmt::format("element face {}\nproperty list uchar uint vertex_indices\nend_header\n", mesh.triangles.size());
    for (std::size_t k = 0; k < mesh.vertices.size(); ++k)
        for (const Vec3& v : {mesh.vertices[k], mesh.normals[k]})
            for (const double c : {v.x, v.y, v.z}) append(out, c);
    for (const auto& t : mesh.triangles) {
        append(out, std::uint8_t{3});
        for (const int corner : {t.a, t.b, t.c}) append(out, static_cast<std::uint32_t>(corner));
    }
    return out;
}

// OBJ: corners count from 1 and name vertex and normal.
std::string obj_of(const TriangleMesh& mesh) {
    std::string out = "# local metres, z up\n";
    for (const Vec3& v : mesh.vertices) out += fmt::format("v {:.6f} {:.6f} {:.6f}\n", v.x, v.y, v.z);
    for (const Vec3& n : mesh.normals) out += fmt::format("vn {:.6f} {:.6f} {:.6f}\n", n.x, n.y, n.z);
    for (const auto& t : mesh.triangles) out += fmt::format("f {0}//{0} {1}//{1} {2}//{2}\n", t.a + 1, t.b + 1, t.c + 1);
    return out;
}

// glTF 2.0 in its binary form (Khronos, ISO/IEC 12113): a header, a chunk of JSON, a chunk of numbers. It is y up.
std::string glb_of(const TriangleMesh& mesh) {
    using nlohmann::json;
    std::string numbers;
    std::array<float, 3> low{INFINITY, INFINITY, INFINITY}, high{-INFINITY, -INFINITY, -INFINITY};
    const auto put = [&](const std::vector<Vec3>& list, bool measure) {
        for (const Vec3& v : list) {
            const std::array<float, 3> turned{static_cast<float>(v.x), static_cast<float>(v.z), static_cast<float>(-v.y)};
            for (std::size_t c = 0; c < 3; ++c) {
                append(numbers, turned[c]);
                if (measure) low[c] = std::min(low[c], turned[c]), high[c] = std::max(high[c], turned[c]);
            }
        }
    };
    put(mesh.vertices, true);
    const std::size_t normals_at = numbers.size();
    put(mesh.normals, false);
    const std::size_t corners_at = numbers.size();
    for (const auto& t : mesh.triangles)
        for (const int corner : {t.a, t.b, t.c}) append(numbers, static_cast<std::uint32_t>(corner));

    // Component types and targets by the numbers of OpenGL: 5126 float, 5125 unsigned, 34962 vertices, 34963 indices.
    const auto view = [](std::size_t from, std::size_t size, int target) {
        return json{{"buffer", 0}, {"byteOffset", from}, {"byteLength", size}, {"target", target}};
    };
    json root = {{"asset", {{"version", "2.0"}, {"generator", "brae"}}}, {"scene", 0}, {"scenes", {{{"nodes", {0}}}}}, {"nodes", {{{"mesh", 0}}}}};
    root["buffers"] = {{{"byteLength", numbers.size()}}};
    root["bufferViews"] = {view(0, normals_at, 34962), view(normals_at, corners_at - normals_at, 34962), view(corners_at, numbers.size() - corners_at, 34963)};
    root["accessors"] = {{{"bufferView", 0}, {"componentType", 5126}, {"count", mesh.vertices.size()}, {"type", "VEC3"}, {"min", low}, {"max", high}},
                         {{"bufferView", 1}, {"componentType", 5126}, {"count", mesh.normals.size()}, {"type", "VEC3"}},
                         {{"bufferView", 2}, {"componentType", 5125}, {"count", 3 * mesh.triangles.size()}, {"type", "SCALAR"}}};
    root["meshes"] = {{{"primitives", {{{"attributes", {{"POSITION", 0}, {"NORMAL", 1}}}, {"indices", 2}, {"mode", 4}}}}}};
    std::string text = root.dump();
    // Chunks are whole words: JSON is filled with blanks, numbers are whole words already.
    text.resize((text.size() + 3) / 4 * 4, ' ');
    std::string out = "glTF";
    append(out, std::uint32_t{2});
    append(out, static_cast<std::uint32_t>(12 + 8 + text.size() + 8 + numbers.size()));
    append(out, static_cast<std::uint32_t>(text.size()));
    out += "JSON" + text;
    append(out, static_cast<std::uint32_t>(numbers.size()));
    out.append("BIN\0", 4);
    return out + numbers;
}

}  // namespace

TriangleMesh triangulate(const TerrainModel& terrain, double step, Progress& progress) {
    if (step == 0) step = terrain.grid.height.cell;
    if (!(step >= 0.05 && step <= 5))
        throw usage_error(fmt::format("a mesh spacing of {} m was asked for; 0.05 to 5 m is wanted", step));
    const Outline& outline = terrain.outline;
    const Box& box = outline.box();
    const OGRPolygon green = polygon_of(outline);
    MeshBuilder builder(*terrain.surface);
    const int columns = static_cast<int>(std::ceil(box.width() / step)), rows = static_cast<int>(std::ceil(box.height() / step));
    for (int j = 0; j < rows; ++j) {
        progress.step(static_cast<double>(j) / rows, "triangles");
        for (int i = 0; i < columns; ++i) {
            const Vec2 a{box.x0 + i * step, box.y0 + j * step}, b = a + Vec2{step, 0}, c = a + Vec2{step, step}, d = a + Vec2{0, step};
            // Far inside: two triangles. Far outside: none. Along the edge: what is inside.
            const double edge = outline.signed_distance(0.5 * (a + c));
            if (edge < -step) continue;
            if (edge > step) {
                builder.triangle(a, b, c);
                builder.triangle(a, c, d);
            } else {
                add_clipped(builder, outline, green, {a, b, c, d});
            }
        }
    }
    return std::move(builder.mesh);
}

void write_mesh_file(const TriangleMesh& mesh, const fs::path& file) {
    const std::string ending = file.extension().string();
    if (ending != ".ply" && ending != ".obj" && ending != ".glb")
        throw usage_error(fmt::format("{}: a mesh is written as .ply, .obj or .glb, not as '{}'", file.string(), ending));

    // A text or a few blocks of numbers each, put together here: then a disk that takes no more is heard of.
    write_file_safely(file, ending == ".ply" ? ply_of(mesh) : ending == ".obj" ? obj_of(mesh) : glb_of(mesh));
}

}  // namespace brae
