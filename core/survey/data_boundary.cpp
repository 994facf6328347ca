// The outer ring of the data, so that a green without an outline still has an edge.
#include "core/base/error.h"
#include "core/base/parts.h"
#include "core/survey/point_grid.h"
#include "core/survey/read_survey.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdint>
#include <fmt/format.h>
#include <map>
#include <optional>
#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

struct Field {
    int columns = 0, rows = 0;
    std::vector<double> v;
    double& at(int i, int j) { return v[static_cast<std::size_t>(j) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(i)]; }
    double at(int i, int j) const { return v[static_cast<std::size_t>(j) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(i)]; }
};

constexpr double kFar = 1e20;
// Detail of the edge that no one can see on turf; a finer ring only costs time wherever distances to it are taken.
constexpr double kFinestDetailM = 0.03, kDensestM = 0.02;

// Squared distance to the nearest cell of value 0, in cells, exact: P. Felzenszwalb and D. Huttenlocher, "Distance
// Transforms of Sampled Functions", Theory of Computing 8:415-428, 2012.
void distance_row(std::vector<double>& f, std::vector<double>& d, std::vector<int>& v, std::vector<double>& z) {
    const int n = static_cast<int>(f.size());
    int k = 0;
    v[0] = 0;
    z[0] = -kFar;
    z[1] = kFar;
    const auto u = [](int i) { return static_cast<std::size_t>(i); };
    for (int q = 1; q < n; ++q) {
        double s = 0;
        for (;;) {
            const int p = v[u(k)];
            s = ((f[u(q)] + double(q) * q) - (f[u(p)] + double(p) * p)) / (2.0 * q - 2.0 * p);
            if (s > z[u(k)] || k == 0) break;
            --k;
        }
        if (s <= z[u(k)]) {
            v[u(k)] = q;
        } else {
            v[u(++k)] = q;
            z[u(k)] = s;
        }
        z[u(k + 1)] = kFar;
    }
    k = 0;
    for (int q = 0; q < n; ++q) {
        while (z[u(k + 1)] < q) ++k;
        const double dq = q - v[u(k)];
        d[u(q)] = dq * dq + f[u(v[u(k)])];
    }
}

void squared_distance(Field& field, const Progress& progress) {
    const auto pass = [&](int lines, int length, auto value) {
        tbb::parallel_for(tbb::blocked_range<int>(0, lines, 16), [&](const tbb::blocked_range<int>& range) {
            std::vector<double> f(static_cast<std::size_t>(length)), d(f.size()), z(f.size() + 2);
            std::vector<int> v(f.size() + 1);
            for (int l = range.begin(); l < range.end(); ++l) {
                progress.check();
                for (int q = 0; q < length; ++q) f[static_cast<std::size_t>(q)] = value(l, q);
                distance_row(f, d, v, z);
                for (int q = 0; q < length; ++q) value(l, q) = d[static_cast<std::size_t>(q)];
            }
        });
    };
    pass(field.columns, field.rows, [&](int i, int j) -> double& { return field.at(i, j); });
    pass(field.rows, field.columns, [&](int j, int i) -> double& { return field.at(i, j); });
}

// Marks the largest 4-connected part of the positive nodes; the rest becomes `outside`.
void keep_largest(Field& field, double outside) {
    std::vector<int> label(field.v.size(), 0);
    std::vector<std::pair<int, int>> stack;
    int labels = 0, best = 0;
    std::size_t most = 0;
    const auto at = [&](int i, int j) -> int& { return label[static_cast<std::size_t>(j) * static_cast<std::size_t>(field.columns) + static_cast<std::size_t>(i)]; };
    for (int j = 0; j < field.rows; ++j)
        for (int i = 0; i < field.columns; ++i) {
            if (field.at(i, j) <= 0 || at(i, j)) continue;
            std::size_t size = 0;
            at(i, j) = ++labels;
            stack.assign(1, {i, j});
            while (!stack.empty()) {
                const auto [a, b] = stack.back();
                stack.pop_back();
                ++size;
                for (const auto& [di, dj] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
                    const int c = a + di, d = b + dj;
                    if (c < 0 || d < 0 || c >= field.columns || d >= field.rows || field.at(c, d) <= 0 || at(c, d)) continue;
                    at(c, d) = labels;
                    stack.push_back({c, d});
                }
            }
            if (size > most) {
                most = size;
                best = labels;
            }
        }
    for (std::size_t k = 0; k < field.v.size(); ++k)
        if (field.v[k] > 0 && label[k] != best) field.v[k] = outside;
}

// The longest closed line along which the field is 0 (marching squares, linear between nodes), in node units. The border
// nodes must be negative. At saddles the positive nodes are kept apart.
std::vector<Vec2> zero_ring(const Field& field) {
    // Every crossed grid edge leads to the next one, the positive side on the left.
    using Edge = std::uint64_t;
    const auto edge = [&](int i, int j, bool up) {
        return (static_cast<Edge>(j) * static_cast<Edge>(field.columns) + static_cast<Edge>(i)) * 2 + (up ? 1 : 0);
    };
    std::map<Edge, Edge> next;
    for (int j = 0; j + 1 < field.rows; ++j)
        for (int i = 0; i + 1 < field.columns; ++i) {
            const int corners = (field.at(i, j) > 0) | (field.at(i + 1, j) > 0) << 1 | (field.at(i + 1, j + 1) > 0) << 2 | (field.at(i, j + 1) > 0) << 3;
            const Edge south = edge(i, j, false), north = edge(i, j + 1, false), west = edge(i, j, true), east = edge(i + 1, j, true);
            switch (corners) {
                case 1: next[south] = west; break;
                case 2: next[east] = south; break;
                case 3: next[east] = west; break;
                case 4: next[north] = east; break;
                case 5: next[south] = west; next[north] = east; break;
                case 6: next[north] = south; break;
                case 7: next[north] = west; break;
                case 8: next[west] = north; break;
                case 9: next[south] = north; break;
                case 10: next[east] = south; next[west] = north; break;
                case 11: next[east] = north; break;
                case 12: next[west] = east; break;
                case 13: next[south] = east; break;
                case 14: next[west] = south; break;
                default: break;
            }
        }
    const auto place = [&](Edge e) {
        const bool up = e & 1;
        const int i = static_cast<int>((e / 2) % static_cast<Edge>(field.columns)), j = static_cast<int>((e / 2) / static_cast<Edge>(field.columns));
        const double a = field.at(i, j), b = up ? field.at(i, j + 1) : field.at(i + 1, j);
        // Not into the very nodes, where two lines could touch.
        const double t = std::clamp(a / (a - b), 0.02, 0.98);
        return up ? Vec2{double(i), j + t} : Vec2{i + t, double(j)};
    };
    std::vector<Vec2> best;
    double largest = 0;
    while (!next.empty()) {
        std::vector<Vec2> ring;
        Edge e = next.begin()->first;
        for (auto at = next.find(e); at != next.end(); at = next.find(e)) {
            ring.push_back(place(e));
            e = at->second;
            next.erase(at);
        }
        double twice = 0;
        for (std::size_t k = 1; k + 1 < ring.size(); ++k) twice += cross(ring[k] - ring[0], ring[k + 1] - ring[0]);
        if (std::abs(twice) > largest) {
            largest = std::abs(twice);
            best = std::move(ring);
        }
    }
    return best;
}

// Leaves out points that lie within `tolerance` of the line through their neighbours that stay: D. Douglas and
// T. Peucker, "Algorithms for the reduction of the number of points...", Cartographica 10(2):112-122, 1973.
std::vector<Vec2> simplified(std::vector<Vec2> ring, double tolerance) {
    const std::size_t n = ring.size();
    if (n < 5 || tolerance <= 0) return ring;
    // Two fixed points far apart, so that both are corners.
    const auto farthest = [&](std::size_t from) {
        std::size_t far = from;
        for (std::size_t k = 0; k < n; ++k)
            if (distance(ring[from], ring[k]) > distance(ring[from], ring[far])) far = k;
        return far;
    };
    std::rotate(ring.begin(), ring.begin() + static_cast<std::ptrdiff_t>(farthest(0)), ring.end());
    const std::size_t far = farthest(0);
    std::vector<char> stays(n + 1, 0);
    stays[0] = stays[far] = stays[n] = 1;
    std::vector<std::pair<std::size_t, std::size_t>> stack{{0, far}, {far, n}};
    const auto at = [&](std::size_t k) { return ring[k % n]; };
    while (!stack.empty()) {
        const auto [a, b] = stack.back();
        stack.pop_back();
        const Vec2 d = at(b) - at(a);
        const double len = norm(d);
        double worst = tolerance;
        std::size_t split = 0;
        for (std::size_t k = a + 1; k < b; ++k) {
            const double off = len > 0 ? std::abs(cross(d, at(k) - at(a))) / len : distance(at(a), at(k));
            if (off > worst) {
                worst = off;
                split = k;
            }
        }
        if (split == 0) continue;
        stays[split] = 1;
        stack.push_back({a, split});
        stack.push_back({split, b});
    }
    std::vector<Vec2> result;
    for (std::size_t k = 0; k < n; ++k)
        if (stays[k]) result.push_back(ring[k]);
    return result;
}

// The simplest ring that does not cross itself.
Outline to_outline(const std::vector<Vec2>& ring, double tolerance) {
    for (double t = tolerance; t > tolerance / 20; t /= 2) {
        try {
            return Outline(simplified(ring, t), OutlineSource::data_boundary);
        } catch (const Error&) {
            // Simplifying made it cross: less of it.
        }
    }
    return Outline(ring, OutlineSource::data_boundary);
}

// Cells of a raster that hold data, where the points still stand on one lattice.
std::optional<Outline> lattice_boundary(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use, const Box& box, double spacing) {
    // Spacing of columns and rows may differ a little from their mean (degrees, scale): the nearest whole division.
    const int columns = static_cast<int>(std::lround(box.width() / spacing)) + 1, rows = static_cast<int>(std::lround(box.height() / spacing)) + 1;
    if (columns < 2 || rows < 2 || double(columns) * rows > 6e7) return std::nullopt;
    const double dx = box.width() / (columns - 1), dy = box.height() / (rows - 1);
    Field cells{columns + 2, rows + 2, std::vector<double>(static_cast<std::size_t>(columns + 2) * static_cast<std::size_t>(rows + 2), -1)};
    for (std::uint32_t k : use) {
        const double i = (points[k].x - box.x0) / dx, j = (points[k].y - box.y0) / dy;
        if (std::abs(i - std::round(i)) > 0.1 || std::abs(j - std::round(j)) > 0.1) return std::nullopt;
        cells.at(static_cast<int>(std::lround(i)) + 1, static_cast<int>(std::lround(j)) + 1) = 1;
    }
    keep_largest(cells, -1);
    // The line crosses midway between a cell with data and one without; the corner of both cells between two crossings is
    // put back. Where cells touch by a corner only, the line passes it twice and is held a little apart.
    std::vector<Vec2> ring = zero_ring(cells), square;
    const std::size_t n = ring.size();
    const auto whole = [](double v) { return v == std::floor(v); };
    std::map<std::pair<double, double>, int> passes;
    const auto corner = [&](std::size_t k) {
        const Vec2 a = ring[k], b = ring[(k + 1) % n];
        return Vec2{whole(a.x) ? b.x : a.x, whole(a.y) ? b.y : a.y};
    };
    const auto turns = [&](std::size_t k) { return ring[k].x != ring[(k + 1) % n].x && ring[k].y != ring[(k + 1) % n].y; };
    for (std::size_t k = 0; k < n; ++k)
        if (turns(k)) ++passes[{corner(k).x, corner(k).y}];
    for (std::size_t k = 0; k < n; ++k) {
        square.push_back(ring[k]);
        if (!turns(k)) continue;
        const Vec2 c = corner(k), middle = 0.5 * (ring[k] + ring[(k + 1) % n]);
        square.push_back(passes[{c.x, c.y}] > 1 ? c + 0.05 * (middle - c) : c);
    }
    for (Vec2& p : square) p = {box.x0 + (p.x - 1) * dx, box.y0 + (p.y - 1) * dy};
    try {
        return to_outline(square, 0.01 * spacing);
    } catch (const Error&) {
        for (Vec2& p : ring) p = {box.x0 + (p.x - 1) * dx, box.y0 + (p.y - 1) * dy};
        return to_outline(ring, 0.01 * spacing);
    }
}

}  // namespace

Outline data_boundary(const Survey& survey, const Progress& progress) {
    const std::vector<std::uint32_t> use = kept_indices(survey.points, survey.removed, progress);
    if (use.size() < 3) throw Error(fmt::format("{} points are kept; at least 3 are wanted for a boundary", use.size()));
    const Box box = box_of(survey.points, use);
    if (survey.grid_spacing_m)
        if (auto outline = lattice_boundary(survey.points, use, box, *survey.grid_spacing_m)) return *outline;

    // A raster of nodes a third of the spacing apart, with room round it for the discs; of a dense cloud no finer than the edge is.
    const double spacing = std::max(point_spacing(survey.points, use, progress), kDensestM);
    const double radius = 2.5 * spacing;
    const double step = std::max({spacing / 3, kFinestDetailM, std::sqrt((box.width() + 2 * radius) * (box.height() + 2 * radius) / 3e6)});
    const int margin = static_cast<int>(radius / step) + 3;
    Field field;
    field.columns = static_cast<int>(box.width() / step) + 2 + 2 * margin;
    field.rows = static_cast<int>(box.height() / step) + 2 + 2 * margin;
    field.v.assign(static_cast<std::size_t>(field.columns) * static_cast<std::size_t>(field.rows), kFar);
    const Vec2 corner{box.x0 - margin * step, box.y0 - margin * step};
    for_parts(use.size(), use.size() / kPointsBetweenLooks + 1, progress, [&](std::size_t, std::size_t begin, std::size_t end) {
        for (std::size_t k = begin; k < end; ++k) {
            const Vec3& p = survey.points[use[k]];
            // Whoever comes first writes the same.
            const auto node = [&](double v) { return static_cast<int>(v / step + 0.5); };
            std::atomic_ref(field.at(node(p.x - corner.x), node(p.y - corner.y))).store(0, std::memory_order_relaxed);
        }
    });

    // Closing by a disc (J. Serra, "Image Analysis and Mathematical Morphology", 1982): grow by the radius, then shrink
    // by it, less a quarter of the spacing, since the data reach beyond their outermost points.
    squared_distance(field, progress);
    const double reach = radius / step;
    for (double& v : field.v) v = v <= reach * reach ? kFar : 0;
    squared_distance(field, progress);
    const double back = (radius - 0.25 * spacing) / step;
    for (double& v : field.v) v = std::sqrt(std::min(v, 1e12)) - back;
    progress.check();
    keep_largest(field, -1);
    progress.check();
    std::vector<Vec2> ring = zero_ring(field);
    progress.check();
    for (Vec2& p : ring) p = corner + step * p;
    if (ring.size() < 3) throw Error("the points make no connected surface; points all over a green are wanted");
    return to_outline(ring, std::max(0.15 * spacing, kFinestDetailM));
}

}  // namespace brae
