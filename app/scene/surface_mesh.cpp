#include "app/scene/surface_mesh.h"

#include "app/scene/colour_scale.h"
#include "core/terrain/slope.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace brae::app {
namespace {

// False only where the rasters say that inside the outline there is no data.
bool has_data(const TerrainModel& terrain, Vec2 p) {
    const Raster& h = terrain.grid.height;
    if (h.empty() || terrain.grid.mask.size() != h.values.size()) return true;
    const int i = static_cast<int>(std::floor((p.x - h.x0) / h.cell)), j = static_cast<int>(std::floor((p.y - h.y0) / h.cell));
    // Cells on the edge belong to the outline's judgement, so a neighbour with data is enough.
    for (int dj = -1; dj <= 1; ++dj)
        for (int di = -1; di <= 1; ++di)
            if (terrain.grid.has(i + di, j + dj)) return true;
    return false;
}

}  // namespace

std::vector<Vec3> points_to_fit(const TerrainModel& terrain, const SurfaceMesh& mesh,
                                const std::vector<ReferenceMark>& marks) {
    constexpr double kNearM = 8;  // a mark farther out than this would make the green small
    std::vector<Vec3> out;
    for (const ReferenceMark& m : marks)
        if (terrain.outline.signed_distance({m.p.x, m.p.y}) > -kNearM) out.push_back({m.p.x, m.p.y, m.p.z - mesh.z_ref});
    for (Vec2 p : terrain.outline.ring()) out.push_back({p.x, p.y, terrain.surface->height(p.x, p.y) - mesh.z_ref});
    return out;
}

double display_step(const Box& box) {
    return std::clamp(std::sqrt(box.width() * box.height() / 60000.0), 0.08, 0.5);
}

std::shared_ptr<const SurfaceMesh> build_surface_mesh(const TerrainModel& terrain, double step) {
    auto mesh = std::make_shared<SurfaceMesh>();
    const Box& box = terrain.outline.box();
    const SplineSurface& surface = *terrain.surface;
    mesh->box = box;
    const int columns = static_cast<int>(std::ceil(box.width() / step)) + 3;
    const int rows = static_cast<int>(std::ceil(box.height() / step)) + 3;
    const auto at = [&](int i, int j) { return Vec2{box.x0 + (i - 1) * step, box.y0 + (j - 1) * step}; };

    // Heights, gradients and edge distance of every grid point near the green; the range from those inside.
    std::vector<SurfaceMesh::Vertex> grid(static_cast<std::size_t>(columns) * rows);
    std::vector<double> heights(grid.size()), slopes;
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (int j = 0; j < rows; ++j)
        for (int i = 0; i < columns; ++i) {
            const Vec2 p = at(i, j);
            const double edge = terrain.outline.signed_distance(p);
            const std::size_t k = static_cast<std::size_t>(j) * columns + i;
            grid[k].edge = static_cast<float>(edge);
            if (edge < -2 * step) continue;
            const SurfaceJet jet = surface.jet(p.x, p.y);
            heights[k] = jet.h;
            grid[k] = {static_cast<float>(p.x), static_cast<float>(p.y), 0, static_cast<float>(jet.hx),
                       static_cast<float>(jet.hy), static_cast<float>(edge)};
            if (edge >= 0) {
                low = std::min(low, jet.h);
                high = std::max(high, jet.h);
                slopes.push_back(slope_ratio(jet));
            }
        }
    for (Vec2 p : terrain.outline.ring()) {
        const double h = surface.height(p.x, p.y);
        low = std::min(low, h);
        high = std::max(high, h);
    }
    mesh->z_ref = low;
    mesh->z_range = std::max(high - low, 1e-3);

    // The slope scale ends at a round number over most of the green, between 3 and 8 %: where putts are read.
    if (!slopes.empty()) {
        const auto nth = slopes.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(slopes.size() - 1));
        std::nth_element(slopes.begin(), nth, slopes.end());
        mesh->slope_top = std::clamp(round_top(100 * *nth), 3.0, 8.0) / 100;
        mesh->steeper = *std::max_element(slopes.begin(), slopes.end()) > mesh->slope_top;
    }

    // Triangles of the cells that touch the green, vertices in the order of first use.
    std::vector<std::uint32_t> index(grid.size(), ~0u);
    const auto vertex = [&](std::size_t k) {
        if (index[k] == ~0u) {
            index[k] = static_cast<std::uint32_t>(mesh->vertices.size());
            grid[k].z = static_cast<float>(heights[k] - mesh->z_ref);
            mesh->vertices.push_back(grid[k]);
        }
        return index[k];
    };
    for (int j = 0; j + 1 < rows; ++j)
        for (int i = 0; i + 1 < columns; ++i) {
            const std::size_t a = static_cast<std::size_t>(j) * columns + i, b = a + 1, c = a + columns, d = c + 1;
            if (std::max({grid[a].edge, grid[b].edge, grid[c].edge, grid[d].edge}) < 0) {
                // All corners outside: the ring may still pass through by a corner nearer than the cell's half.
                if (std::max({grid[a].edge, grid[b].edge, grid[c].edge, grid[d].edge}) < -0.5 * step) continue;
            }
            const Vec2 middle = at(i, j) + Vec2{step / 2, step / 2};
            if (!has_data(terrain, middle) && terrain.outline.contains(middle)) continue;
            const std::uint32_t va = vertex(a), vb = vertex(b), vc = vertex(c), vd = vertex(d);
            for (std::uint32_t v : {va, vb, vd, va, vd, vc}) mesh->indices.push_back(v);
        }

    // The side wall: along the ring, points at most two steps apart.
    const auto& ring = terrain.outline.ring();
    const float floor_z = static_cast<float>(-0.12 * mesh->z_range - 0.02);
    for (std::size_t k = 0; k <= ring.size(); ++k) {
        const Vec2 a = ring[k % ring.size()], b = ring[(k + 1) % ring.size()];
        const int parts = k == ring.size() ? 1 : std::max(1, static_cast<int>(std::ceil(distance(a, b) / (2 * step))));
        for (int n = 0; n < parts; ++n) {
            const Vec2 p = a + (static_cast<double>(n) / parts) * (b - a);
            const Vec2 out = -right_of(unit(b - a));  // the ring runs counter-clockwise, so outside is to the right
            const float x = static_cast<float>(p.x), y = static_cast<float>(p.y);
            const float nx = static_cast<float>(-out.x), ny = static_cast<float>(-out.y);
            mesh->skirt.push_back({x, y, static_cast<float>(surface.height(p.x, p.y) - mesh->z_ref), nx, ny, 1});
            mesh->skirt.push_back({x, y, floor_z, nx, ny, 0});
        }
    }
    return mesh;
}

}  // namespace brae::app
