#include "core/base/error.h"
#include "core/terrain/slope.h"

#include <algorithm>
#include <cmath>
#include <deque>

namespace brae {

namespace {

constexpr double kLeastSlope = 0.001;  // ratio: flatter than this, "down" has no meaning for a ball
constexpr double kTestShare = 0.5;     // a line stops this share of the spacing from another (Jobard and Lefer: d_test)
constexpr double kShortest = 1.0;      // in spacings: shorter lines are dropped

// Points of the lines so far in square buckets of the spacing.
class Neighbours {
public:
    Neighbours(const Box& box, double spacing)
        : x0_(box.x0), y0_(box.y0), side_(spacing), columns_(static_cast<int>(box.width() / spacing) + 1),
          rows_(static_cast<int>(box.height() / spacing) + 1), lists_(static_cast<std::size_t>(columns_) * rows_) {}
    void add(Vec2 p) { lists_[bucket(column(p), row(p))].push_back(p); }
    bool any_within(Vec2 p, double reach) const {
        for (int j = std::max(0, row(p) - 1); j <= std::min(rows_ - 1, row(p) + 1); ++j)
            for (int i = std::max(0, column(p) - 1); i <= std::min(columns_ - 1, column(p) + 1); ++i)
                for (Vec2 q : lists_[bucket(i, j)])
                    if (distance(p, q) < reach) return true;
        return false;
    }

private:
    int column(Vec2 p) const { return std::clamp(static_cast<int>(std::floor((p.x - x0_) / side_)), 0, columns_ - 1); }
    int row(Vec2 p) const { return std::clamp(static_cast<int>(std::floor((p.y - y0_) / side_)), 0, rows_ - 1); }
    std::size_t bucket(int i, int j) const { return static_cast<std::size_t>(j) * columns_ + i; }
    double x0_, y0_, side_;
    int columns_, rows_;
    std::vector<std::vector<Vec2>> lists_;
};

// Unit vector downhill; zero where the slope is too small.
Vec2 downhill(const HeightField& surface, Vec2 p) {
    const SurfaceJet s = surface.jet(p.x, p.y);
    const double slope = slope_ratio(s);
    return slope < kLeastSlope ? Vec2{} : Vec2{-s.hx / slope, -s.hy / slope};
}

bool has_data(const TerrainModel& model, Vec2 p) {
    if (!model.outline.contains(p)) return false;
    const Raster& h = model.grid.height;
    const int i = static_cast<int>(std::floor((p.x - h.x0) / h.cell)), j = static_cast<int>(std::floor((p.y - h.y0) / h.cell));
    for (int dj = -1; dj <= 1; ++dj)
        for (int di = -1; di <= 1; ++di)
            if (model.grid.has(i + di, j + dj)) return true;
    return false;
}

// From the seed one way (+1 down, -1 up) by classical Runge-Kutta in arc length, until it must end.
std::vector<Vec2> march(const TerrainModel& model, const Neighbours& others, Vec2 seed, double way, double step,
                        double spacing) {
    std::vector<Vec2> out;
    const HeightField& surface = *model.surface;
    const auto most = static_cast<std::size_t>(4 * (model.outline.box().width() + model.outline.box().height()) / step);
    Vec2 p = seed;
    double h = surface.height(p.x, p.y);
    while (out.size() < most) {
        const Vec2 k1 = downhill(surface, p), k2 = downhill(surface, p + (way * step / 2) * k1);
        const Vec2 k3 = downhill(surface, p + (way * step / 2) * k2), k4 = downhill(surface, p + (way * step) * k3);
        if (k1 == Vec2{} || k2 == Vec2{} || k3 == Vec2{} || k4 == Vec2{}) break;
        Vec2 q = p + (way * step / 6) * (k1 + 2 * k2 + 2 * k3 + k4);
        // Height must keep falling (or rising): a hollow, a top or a valley line crossed too far ends the line.
        double hq = surface.height(q.x, q.y);
        if (way * (hq - h) >= 0) break;
        if (!has_data(model, q)) {
            // The last piece runs to the edge.
            Vec2 inside = p, outside = q;
            for (int k = 0; k < 30; ++k) {
                const Vec2 m = 0.5 * (inside + outside);
                (has_data(model, m) ? inside : outside) = m;
            }
            hq = surface.height(inside.x, inside.y);
            if (distance(inside, p) > 1e-6 && way * (hq - h) < 0) out.push_back(inside);
            break;
        }
        if (others.any_within(q, kTestShare * spacing)) break;
        out.push_back(q);
        p = q, h = hq;
    }
    return out;
}

}  // namespace

// B. Jobard and W. Lefer, "Creating evenly-spaced streamlines of arbitrary density", Visualization in Scientific
// Computing '97: seeds one spacing beside the lines drawn so far; a raster of seeds reaches what these leave out.
std::vector<FallLine> fall_lines(const TerrainModel& model, double spacing_m, Progress& progress) {
    if (!(spacing_m >= 0.02) || !std::isfinite(spacing_m))
        throw usage_error("the spacing of fall lines is below 0.02 m; a length in metres is wanted");
    std::vector<FallLine> out;
    if (model.outline.empty()) return out;
    const Box& box = model.outline.box();
    Neighbours neighbours(box, spacing_m);
    const double step = std::min(0.1 * spacing_m, 0.1);

    // Draws the line through a seed and queues it; nothing happens where the seed is taken or flat.
    std::deque<std::size_t> queue;
    const auto draw = [&](Vec2 seed) {
        if (!has_data(model, seed) || neighbours.any_within(seed, 0.999 * spacing_m)) return;
        if (downhill(*model.surface, seed) == Vec2{}) return;
        std::vector<Vec2> up = march(model, neighbours, seed, -1, step, spacing_m);
        const std::vector<Vec2> down = march(model, neighbours, seed, +1, step, spacing_m);
        if (static_cast<double>(up.size() + down.size()) * step < kShortest * spacing_m) return;
        std::reverse(up.begin(), up.end());
        up.push_back(seed);
        up.insert(up.end(), down.begin(), down.end());
        for (Vec2 p : up) neighbours.add(p);
        out.push_back({std::move(up)});
        queue.push_back(out.size() - 1);
    };
    const auto drain = [&] {
        while (!queue.empty()) {
            const std::size_t k = queue.front();
            queue.pop_front();
            for (std::size_t n = 0; n < out[k].points.size(); n += 5) {
                const Vec2 p = out[k].points[n], d = downhill(*model.surface, p);
                if (d == Vec2{}) continue;
                progress.step(0.5, "fall lines");
                draw(p + spacing_m * right_of(d));
                draw(p - spacing_m * right_of(d));
            }
        }
    };
    draw(model.outline.centroid());
    drain();
    for (double y = box.y0 + spacing_m / 2; y < box.y1; y += spacing_m)
        for (double x = box.x0 + spacing_m / 2; x < box.x1; x += spacing_m) {
            progress.step(0.5 + 0.5 * (y - box.y0) / box.height(), "fall lines");
            draw({x, y});
            drain();
        }
    return out;
}

}  // namespace brae
