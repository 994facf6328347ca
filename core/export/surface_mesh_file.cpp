#include "core/export/surface_mesh_file.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"

#include <cmath>
#include <fmt/format.h>
#include <map>
#include <memory>
#include <ogr_geometry.h>
#include <open3d/geometry/TriangleMesh.h>
#include <open3d/io/TriangleMeshIO.h>
#include <open3d/utility/Logging.h>

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

    // glTF is y up by its specification; the others keep the survey's z up.
    const auto turned = [&](const Vec3& p) {
        return ending == ".glb" ? Eigen::Vector3d(p.x, p.z, -p.y) : Eigen::Vector3d(p.x, p.y, p.z);
    };
    open3d::geometry::TriangleMesh out;
    for (const Vec3& p : mesh.vertices) out.vertices_.push_back(turned(p));
    for (const Vec3& n : mesh.normals) out.vertex_normals_.push_back(turned(n));
    for (const auto& t : mesh.triangles) out.triangles_.emplace_back(t.a, t.b, t.c);

    // Open3D chooses the format by the ending, so the part, which ends otherwise, lies in a name of its own beside it.
    PartFile part(file);
    const fs::path named = part.part().string() + ending;
    std::string said;
    auto& logger = open3d::utility::Logger::GetInstance();
    logger.SetPrintFunction([&](const std::string& line) { said = line; });
    bool fine = false;
    try {
        fine = open3d::io::WriteTriangleMesh(named.string(), out, false, false, true, false, false);
    } catch (const std::exception& e) {
        said = e.what();
    }
    logger.ResetPrintFunction();
    std::error_code fault;
    if (fine) fs::rename(named, part.part(), fault);
    if (!fine || fault) {
        std::error_code ignored;
        fs::remove(named, ignored);
        throw Error(fmt::format("cannot write {}: {}", file.string(), fault ? fault.message() : "the mesh was not written whole"));
    }
    part.commit();
}

}  // namespace brae
