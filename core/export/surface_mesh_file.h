// The green's surface as triangles, for programs that show or print solids.
#pragma once

#include "core/base/progress.h"
#include "core/terrain/terrain_model.h"

#include <filesystem>
#include <vector>

namespace brae {

// Vertices in local metres, z up, over the height datum of the frame's origin; triangles counter-clockwise from above.
struct TriangleMesh {
    std::vector<Vec3> vertices, normals;   // normals: of the spline, unit length
    struct Triangle { int a, b, c; };
    std::vector<Triangle> triangles;
};

// Squares of `step_m` on the spline inside the outline, each cut into two triangles; along the edge squares are clipped to
// the outline, so that the mesh ends where the green does. Gaps without data stay holes. step_m 0: the model's own cell.
// Throws Error(usage) for a step under 0.05 or over 5 m.
TriangleMesh triangulate(const TerrainModel& terrain, double step_m, Progress& progress);

// By the ending of the name: .ply (binary, doubles), .obj or .glb (glTF 2.0, which is y up: x east, y up, z south).
// Coordinates are local metres, so that no digits are lost in formats of single precision. Writes a part beside FILE and
// renames. Throws Error(usage) for another ending.
void write_mesh_file(const TriangleMesh& mesh, const std::filesystem::path& file);

}  // namespace brae
