#include "core/base/error.h"
#include "core/terrain/slope.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <unordered_map>

namespace brae {

namespace {

constexpr double kOnLevel = 1e-7;        // m, how close a point is brought to its level
constexpr std::size_t kMostLevels = 20000;

// Heights at the corners of a fine lattice over the green.
struct Lattice {
    int columns = 0, rows = 0;
    double x0 = 0, y0 = 0, step = 0;
    std::vector<double> z;
    std::vector<unsigned char> wanted;  // squares that touch ground with data
    Vec2 corner(int i, int j) const { return {x0 + i * step, y0 + j * step}; }
    double at(int i, int j) const { return z[static_cast<std::size_t>(j) * columns + i]; }
};

Lattice sample(const TerrainModel& model, Progress& progress) {
    const Raster& h = model.grid.height;
    Lattice out;
    out.step = h.cell / 2;
    out.x0 = h.x0, out.y0 = h.y0;
    out.columns = 2 * h.columns + 1, out.rows = 2 * h.rows + 1;
    out.z.resize(static_cast<std::size_t>(out.columns) * out.rows);
    out.wanted.assign(out.z.size(), 0);
    for (int j = 0; j < out.rows; ++j) {
        if (j % 16 == 0) progress.step(0.2 * j / out.rows, "contours");
        for (int i = 0; i < out.columns; ++i) {
            const std::size_t k = static_cast<std::size_t>(j) * out.columns + i;
            const Vec2 p = out.corner(i, j);
            out.z[k] = model.surface->height(p.x, p.y);
            if (i + 1 == out.columns || j + 1 == out.rows) continue;
            // The mask stops at cell centres inside the outline; the cell next to it still belongs.
            for (int dj = -1; dj <= 1; ++dj)
                for (int di = -1; di <= 1; ++di)
                    if (model.grid.has(i / 2 + di, j / 2 + dj)) out.wanted[k] = 1;
        }
    }
    return out;
}

// Where the surface has the level between a and b, whose heights lie on either side: bisection guarded false position.
Vec2 crossing(const HeightField& surface, double level, Vec2 a, Vec2 b, double fa, double fb) {
    for (int k = 0; k < 60; ++k) {
        double t = fa / (fa - fb);
        if (k % 3 == 2 || !(t > 0.01 && t < 0.99)) t = std::clamp(t, 0.25, 0.75);
        const Vec2 c = a + t * (b - a);
        const double fc = surface.height(c.x, c.y) - level;
        if (std::abs(fc) < kOnLevel) return c;
        if ((fc >= 0) == (fa >= 0)) a = c, fa = fc;
        else b = c, fb = fc;
    }
    return 0.5 * (a + b);
}

// Joins the crossings of one level into lines. Marching squares with the saddle settled by the centre height.
std::vector<ContourLine> trace(const Lattice& lattice, const HeightField& surface, double level) {
    // Edges: 2k is the east-going edge of corner k, 2k + 1 the north-going one. At most two segments meet at an edge.
    std::vector<Vec2> points;
    std::vector<std::array<int, 2>> links;
    std::unordered_map<std::size_t, int> known;
    const auto above = [&](int i, int j) { return lattice.at(i, j) >= level; };
    const auto point_on = [&](int i, int j, bool north) {
        const std::size_t key = 2 * (static_cast<std::size_t>(j) * lattice.columns + i) + (north ? 1 : 0);
        const auto [it, fresh] = known.try_emplace(key, static_cast<int>(points.size()));
        if (fresh) {
            const int i1 = north ? i : i + 1, j1 = north ? j + 1 : j;
            points.push_back(crossing(surface, level, lattice.corner(i, j), lattice.corner(i1, j1),
                                      lattice.at(i, j) - level, lattice.at(i1, j1) - level));
            links.push_back({-1, -1});
        }
        return it->second;
    };
    const auto join = [&](int a, int b) {
        links[a][links[a][0] >= 0 ? 1 : 0] = b;
        links[b][links[b][0] >= 0 ? 1 : 0] = a;
    };
    for (int j = 0; j + 1 < lattice.rows; ++j)
        for (int i = 0; i + 1 < lattice.columns; ++i) {
            if (!lattice.wanted[static_cast<std::size_t>(j) * lattice.columns + i]) continue;
            const int code = above(i, j) + 2 * above(i + 1, j) + 4 * above(i + 1, j + 1) + 8 * above(i, j + 1);
            if (code == 0 || code == 15) continue;
            const auto south = [&] { return point_on(i, j, false); };
            const auto north = [&] { return point_on(i, j + 1, false); };
            const auto west = [&] { return point_on(i, j, true); };
            const auto east = [&] { return point_on(i + 1, j, true); };
            switch (code) {
                case 1: case 14: join(west(), south()); break;
                case 2: case 13: join(south(), east()); break;
                case 4: case 11: join(east(), north()); break;
                case 8: case 7: join(north(), west()); break;
                case 3: case 12: join(west(), east()); break;
                case 6: case 9: join(south(), north()); break;
                default: {
                    const Vec2 m = lattice.corner(i, j) + Vec2{lattice.step / 2, lattice.step / 2};
                    const bool high = surface.height(m.x, m.y) >= level;
                    if (high == (code == 5)) join(west(), north()), join(south(), east());
                    else join(west(), south()), join(east(), north());
                }
            }
        }

    // Open lines first, from their ends, then the rings.
    std::vector<ContourLine> out;
    std::vector<unsigned char> used(points.size(), 0);
    const auto walk = [&](int start) {
        ContourLine line;
        line.height = level;
        int before = -1, here = start;
        while (here >= 0 && !used[here]) {
            used[here] = 1;
            line.points.push_back(points[here]);
            const int next = links[here][0] != before ? links[here][0] : links[here][1];
            before = here, here = next;
        }
        line.closed = here == start && line.points.size() > 2;
        if (line.points.size() > 1) out.push_back(std::move(line));
    };
    for (std::size_t k = 0; k < points.size(); ++k)
        if (!used[k] && links[k][1] < 0) walk(static_cast<int>(k));
    for (std::size_t k = 0; k < points.size(); ++k)
        if (!used[k]) walk(static_cast<int>(k));
    return out;
}

// Parts of a line inside the outline, cut where it crosses the edge.
void clip_into(std::vector<ContourLine>& out, const ContourLine& line, const Outline& outline, const HeightField& surface) {
    std::vector<Vec2> p = line.points;
    std::vector<unsigned char> in;
    for (Vec2 q : p) in.push_back(outline.contains(q));
    if (std::all_of(in.begin(), in.end(), [](unsigned char x) { return x != 0; })) {
        out.push_back(line);
        return;
    }
    // A ring that leaves the green starts outside, so that no part is split at its seam.
    if (line.closed) {
        const auto first = std::find(in.begin(), in.end(), 0) - in.begin();
        std::rotate(p.begin(), p.begin() + first, p.end());
        std::rotate(in.begin(), in.begin() + first, in.end());
        p.push_back(p.front());
        in.push_back(in.front());
    }
    const auto edge_between = [&](Vec2 inside, Vec2 outside) {
        for (int k = 0; k < 40; ++k) {
            const Vec2 m = 0.5 * (inside + outside);
            (outline.contains(m) ? inside : outside) = m;
        }
        // The chord strays a hair from the level; one Newton step along the slope, if it stays inside.
        const SurfaceJet s = surface.jet(inside.x, inside.y);
        const double g2 = s.hx * s.hx + s.hy * s.hy;
        const Vec2 moved = g2 > 0 ? inside - ((s.h - line.height) / g2) * Vec2{s.hx, s.hy} : inside;
        return distance(moved, inside) < 0.01 && outline.contains(moved) ? moved : inside;
    };
    ContourLine part;
    part.height = line.height;
    const auto finish = [&] {
        if (part.points.size() > 1) out.push_back(part);
        part.points.clear();
    };
    for (std::size_t k = 0; k < p.size(); ++k) {
        if (k > 0 && in[k] && !in[k - 1]) part.points.push_back(edge_between(p[k], p[k - 1]));
        if (in[k]) part.points.push_back(p[k]);
        if (k > 0 && !in[k] && in[k - 1]) {
            part.points.push_back(edge_between(p[k - 1], p[k]));
            finish();
        }
    }
    finish();
}

}  // namespace

std::vector<ContourLine> contours(const TerrainModel& model, double interval_m, Progress& progress) {
    if (!(interval_m > 0) || !std::isfinite(interval_m))
        throw usage_error("the contour interval is not a positive length in metres");
    const Lattice lattice = sample(model, progress);

    // Levels that the wanted squares reach.
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (int j = 0; j + 1 < lattice.rows; ++j)
        for (int i = 0; i + 1 < lattice.columns; ++i)
            if (lattice.wanted[static_cast<std::size_t>(j) * lattice.columns + i])
                for (double z : {lattice.at(i, j), lattice.at(i + 1, j), lattice.at(i, j + 1), lattice.at(i + 1, j + 1)})
                    low = std::min(low, z), high = std::max(high, z);
    if (!(low <= high)) return {};
    if ((high - low) / interval_m > static_cast<double>(kMostLevels))
        throw usage_error("the contour interval is too small for the heights of this green");

    std::vector<ContourLine> out;
    const auto first = static_cast<std::int64_t>(std::ceil(low / interval_m));
    const auto last = static_cast<std::int64_t>(std::floor(high / interval_m));
    for (std::int64_t n = first; n <= last; ++n) {
        progress.step(0.2 + 0.8 * static_cast<double>(n - first) / static_cast<double>(last - first + 1), "contours");
        for (const ContourLine& line : trace(lattice, *model.surface, static_cast<double>(n) * interval_m))
            clip_into(out, line, model.outline, *model.surface);
    }
    return out;
}

}  // namespace brae
