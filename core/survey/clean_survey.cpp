// Removes what is not turf: robust interpolation with an asymmetric weight function, from coarse to fine.
//
// K. Kraus and N. Pfeifer, "Determination of terrain models in wooded areas with airborne laser scanner data", ISPRS
// Journal of Photogrammetry and Remote Sensing 53(4):193-203, 1998: points above the surface lose weight by
// 1 / (1 + (a (v - g))^b). Hierarchy: N. Pfeifer, P. Stadler, C. Briese, "Derivation of digital terrain models in the
// SCOP++ environment", OEEPE Workshop on Airborne Laserscanning, 2001. Both from memory. The surface here is a quadric a
// cell, fitted to the 3 x 3 cells round it, so that tiers keep their shape.
#include "core/base/error.h"
#include "core/base/large_vector.h"
#include "core/base/parts.h"
#include "core/survey/clean_layers.h"
#include "core/survey/place_order.h"
#include "core/survey/point_grid.h"
#include "core/survey/read_survey.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

// Points further apart than this are levels picked by hand: none is clutter, and none is removed.
constexpr double kLevelsSpacingM = 0.75;
// Gates round the coarse and the middle surface; a tier of 0.5 m over 1.5 m stays within both.
constexpr double kCoarseGateM = 0.6, kMiddleGateM = 0.25;
// A point is clutter beyond this allowance for the shape of the ground plus so many standard deviations of its window.
constexpr double kShapeAllowanceM = 0.015, kSigmas = 4.0;
// Cells of the last surface; from which height a thing has a foot.
constexpr double kFineCellM = 0.5, kTallM = 0.1;
// How far outside the outline points still serve, dense surveys and others.
constexpr double kDenseRimM = 0.5, kRimM = 2.0;
// Windows with more points than this are thinned evenly.
constexpr std::size_t kMostSamples = 160;
// Of a large cloud the ground is sought from some points of each small cell; all are then judged by it.
constexpr std::size_t kCellSample = 256;

struct Sample {
    double x, y, z;
};

// z = c0 + c1 u + c2 v + c3 u^2 + c4 u v + c5 v^2 with (u, v) from the centre in units of `size`.
struct Quadric {
    Vec2 centre;
    double size = 1;
    std::array<double, 6> c{};
    double sigma = 0;  // robust standard deviation of the window about it
    bool valid = false;
    double at(double x, double y) const {
        const double u = (x - centre.x) / size, v = (y - centre.y) / size;
        return c[0] + c[1] * u + c[2] * v + c[3] * u * u + c[4] * u * v + c[5] * v * v;
    }
};

double median_of(std::vector<double>& values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

// Iteratively reweighted least squares; fewer terms where there are few samples. `floor_m` is the least scale believed.
Quadric fit(const std::vector<Sample>& samples, Vec2 centre, double size, double floor_m, bool plane = false) {
    Quadric q;
    q.centre = centre;
    q.size = size;
    const std::size_t n = samples.size();
    if (n < 3) return q;
    const int terms = n >= 12 && !plane ? 6 : n >= 5 ? 3 : 1;
    std::vector<double> weight(n, 1.0), residual(n), absolute(n);
    using Matrix = Eigen::Matrix<double, 6, 6>;
    using Vector = Eigen::Matrix<double, 6, 1>;
    for (int round = 0; round < 6; ++round) {
        // Normal equations; a trace of ridge on slope and curvature keeps one-sided windows solvable.
        Matrix normal = Matrix::Zero();
        Vector right = Vector::Zero();
        double total = 0;
        for (std::size_t k = 0; k < n; ++k) {
            const double u = (samples[k].x - centre.x) / size, v = (samples[k].y - centre.y) / size;
            const std::array<double, 6> row{1, u, v, u * u, u * v, v * v};
            for (int a = 0; a < terms; ++a) {
                const double wa = weight[k] * row[static_cast<std::size_t>(a)];
                for (int b = 0; b <= a; ++b) normal(a, b) += wa * row[static_cast<std::size_t>(b)];
                right(a) += wa * samples[k].z;
            }
            total += weight[k];
        }
        for (int a = 0; a < 6; ++a) normal(a, a) += a >= terms ? 1.0 : a >= 3 ? 1e-4 * total : a >= 1 ? 1e-7 * total : 0.0;
        normal.triangularView<Eigen::StrictlyUpper>() = normal.transpose();
        const Vector solved = normal.ldlt().solve(right);
        for (int a = 0; a < 6; ++a) q.c[static_cast<std::size_t>(a)] = a < terms ? solved(a) : 0.0;
        if (!std::isfinite(solved.sum())) return q;
        for (std::size_t k = 0; k < n; ++k) {
            residual[k] = samples[k].z - q.at(samples[k].x, samples[k].y);
            absolute[k] = std::abs(residual[k]);
        }
        q.sigma = 1.4826 * median_of(absolute);
        q.valid = true;
        // Asymmetric weights: full up to one sigma above and two below, then falling with the fourth power.
        const double s = std::max(q.sigma, floor_m);
        for (std::size_t k = 0; k < n; ++k) {
            const double over = residual[k] > 0 ? std::max(0.0, residual[k] / s - 1.0) / 1.5 : std::max(0.0, -residual[k] / s - 2.0) / 2.0;
            weight[k] = 1 / (1 + over * over * over * over);
        }
    }
    return q;
}

// The points of the 3 x 3 (or larger) cells round one, thinned evenly, those that `gate` lets through.
template <class Gate>
void gather(const std::vector<Vec3>& points, const PointGrid& grid, int i, int j, int reach, Gate gate, std::vector<Sample>& samples) {
    samples.clear();
    std::size_t total = 0;
    for (int b = j - reach; b <= j + reach; ++b)
        for (int a = i - reach; a <= i + reach; ++a) total += grid.at(a, b).size();
    // Of very many only some are looked at: eight for each that may be used.
    const std::size_t stride = std::max<std::size_t>(1, total / (8 * kMostSamples));
    std::size_t next = 0;
    for (int b = j - reach; b <= j + reach; ++b)
        for (int a = i - reach; a <= i + reach; ++a) {
            const auto held = grid.at(a, b);
            for (; next < held.size(); next += stride) {
                const std::uint32_t k = held[next];
                if (gate(k)) samples.push_back({points[k].x, points[k].y, points[k].z});
            }
            next -= held.size();
        }
    if (samples.size() <= kMostSamples) return;
    for (std::size_t k = 0; k < kMostSamples; ++k) samples[k] = samples[k * samples.size() / kMostSamples];
    samples.resize(kMostSamples);
}

// One quadric for every cell that holds points.
template <class Gate>
std::vector<Quadric> fit_cells(const std::vector<Vec3>& points, const PointGrid& grid, int reach, double floor_m, Gate gate, Progress& progress) {
    std::vector<Quadric> surface(static_cast<std::size_t>(grid.columns()) * static_cast<std::size_t>(grid.rows()));
    tbb::parallel_for(0, grid.rows(), [&](int j) {
        if (progress.cancelled()) progress.step(0);
        std::vector<Sample> samples;
        for (int i = 0; i < grid.columns(); ++i) {
            if (grid.at(i, j).empty()) continue;
            gather(points, grid, i, j, reach, gate, samples);
            surface[static_cast<std::size_t>(j) * static_cast<std::size_t>(grid.columns()) + static_cast<std::size_t>(i)] =
                fit(samples, grid.centre(i, j), (reach + 0.5) * grid.cell(), floor_m);
        }
    });
    return surface;
}

template <class T>
const T& cell_of(const std::vector<T>& surface, const PointGrid& grid, const Vec3& p) {
    return surface[static_cast<std::size_t>(grid.row_of(p.y)) * static_cast<std::size_t>(grid.columns()) + static_cast<std::size_t>(grid.column_of(p.x))];
}

// Calls f for 0 ... n - 1 from several threads, with looks at Cancel in between.
template <class F>
void each_point(std::size_t n, const Progress& progress, F f) {
    for_parts(n, n / 8192 + 1, progress, [&](std::size_t, std::size_t begin, std::size_t end) {
        for (std::size_t k = begin; k < end; ++k) f(k);
    });
}

// Height of every used point above a surface, into `above`; NaN where there is none.
void heights_above(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& use, const PointGrid& grid,
                   const std::vector<Quadric>& surface, std::vector<double>& above, const Progress& progress) {
    above.resize(points.size());
    for_parts(above.size(), above.size() / 65536 + 1, progress, [&](std::size_t, std::size_t begin, std::size_t end) {
        std::fill(above.begin() + static_cast<std::ptrdiff_t>(begin), above.begin() + static_cast<std::ptrdiff_t>(end), NAN);
    });
    for_parts(use.size(), use.size() / 16384 + 1, progress, [&](std::size_t, std::size_t begin, std::size_t end) {
        for (std::size_t k = begin; k < end; ++k) {
            const Vec3& p = points[use[k]];
            const Quadric& q = cell_of(surface, grid, p);
            if (q.valid) above[use[k]] = p.z - q.at(p.x, p.y);
        }
    });
}

// First ground pick: in each cell the point at the lower quarter of its heights. Of very many points some say the same.
std::vector<Vec3> ground_picks(const std::vector<Vec3>& points, const PointGrid& grid, const Progress& progress) {
    constexpr std::size_t enough = 512;
    std::vector<std::vector<Vec3>> rows(static_cast<std::size_t>(grid.rows()));
    tbb::parallel_for(0, grid.rows(), [&](int j) {
        std::vector<std::uint32_t> cell;
        for (int i = 0; i < grid.columns(); ++i) {
            const auto held = grid.at(i, j);
            progress.check();
            if (held.empty()) continue;
            cell.clear();
            const std::size_t stride = std::max<std::size_t>(1, held.size() / enough);
            for (std::size_t k = 0; k < held.size(); k += stride) cell.push_back(held[k]);
            const auto quarter = cell.begin() + static_cast<std::ptrdiff_t>(cell.size() / 4);
            std::nth_element(cell.begin(), quarter, cell.end(), [&](std::uint32_t a, std::uint32_t b) {
                return points[a].z != points[b].z ? points[a].z < points[b].z : a < b;
            });
            rows[static_cast<std::size_t>(j)].push_back(points[*quarter]);
        }
    });
    std::vector<Vec3> picks;
    for (const auto& row : rows) picks.insert(picks.end(), row.begin(), row.end());
    return picks;
}

std::vector<std::uint32_t> everyone(std::size_t n) {
    std::vector<std::uint32_t> use = large_vector<std::uint32_t>(n);
    for (std::size_t k = 0; k < n; ++k) use[k] = static_cast<std::uint32_t>(k);
    return use;
}

// Points beyond the rim of the outline are no part of the green.
void drop_outside(Survey& survey, double rim, const Progress& progress) {
    const Outline& outline = *survey.outline;
    const Box& b = outline.box();
    const Box wide{b.x0 - rim, b.y0 - rim, b.x1 + rim, b.y1 + rim};
    each_point(survey.points.size(), progress, [&](std::size_t k) {
        const Vec2 p{survey.points[k].x, survey.points[k].y};
        if (!wide.contains(p) || (!outline.contains(p) && outline.signed_distance(p) < -rim)) survey.removed[k] = outside_clip;
    });
}

// Longer grass stands as a step along the outline: where the points outside lie above what the turf inside leads to, by
// more than their noise explains, all of them go.
void drop_long_grass(Survey& survey, double spacing, double sigma, Progress& progress) {
    const Outline& outline = *survey.outline;
    std::vector<std::uint32_t> inside, outside;
    std::size_t looked = 0;
    for (std::uint32_t k : kept_indices(survey.points, survey.removed, progress)) {
        if (looked++ % (kPointsBetweenLooks / 4) == 0) progress.check();
        (outline.contains({survey.points[k].x, survey.points[k].y}) ? inside : outside).push_back(k);
    }
    if (inside.empty() || outside.empty()) return;
    const Box box = box_of(survey.points, outside);
    // Stretches long enough to hold some 24 points each, so that their median is worth something.
    const PointGrid rim(survey.points, outside, box, std::max(0.5, 24 * spacing * spacing / std::max(kDenseRimM, 2 * spacing)), progress);
    const double reach = std::max(1.2, 5 * spacing);
    const PointGrid turf(survey.points, inside, box_of(survey.points, inside), reach, progress);
    tbb::parallel_for(0, rim.rows(), [&](int j) {
        if (progress.cancelled()) progress.step(0);
        std::vector<Sample> samples;
        std::vector<double> above;
        for (int i = 0; i < rim.columns(); ++i) {
            const auto held = rim.at(i, j);
            if (held.empty()) continue;
            // A plane through the turf nearest to these points.
            Vec2 middle;
            for (std::uint32_t k : held) middle = middle + Vec2{survey.points[k].x, survey.points[k].y};
            const Vec2 edge = outline.nearest_edge_point(middle / static_cast<double>(held.size()));
            const auto near = [&](std::uint32_t k) { return distance({survey.points[k].x, survey.points[k].y}, edge) < reach; };
            gather(survey.points, turf, turf.column_of(edge.x), turf.row_of(edge.y), 1, near, samples);
            if (samples.size() < 8) continue;
            const Quadric plane = fit(samples, edge, reach, 0.002, true);
            above.clear();
            for (std::uint32_t k : held) above.push_back(survey.points[k].z - plane.at(survey.points[k].x, survey.points[k].y));
            // The standard error of a median is 1.25 sigma / sqrt(n); three of them, and 1 cm for the shape of the rim.
            const double step = 0.010 + 3 * 1.25 * sigma / std::sqrt(static_cast<double>(held.size()));
            if (median_of(above) <= step) continue;
            for (std::uint32_t k : held) survey.removed[k] = above_turf;
        }
    });
}

// Levels are few and picked on purpose: one that stands out is named, none is taken away.
void name_odd_levels(Survey& survey, double spacing) {
    const std::vector<std::uint32_t> use = kept_indices(survey.points, survey.removed);
    const PointGrid grid(survey.points, use, box_of(survey.points, use), 1.5 * spacing);
    std::size_t odd = 0;
    std::string first;
    std::vector<Sample> samples;
    for (std::uint32_t k : use) {
        const Vec3& p = survey.points[k];
        gather(survey.points, grid, grid.column_of(p.x), grid.row_of(p.y), 1, [&](std::uint32_t o) { return o != k; }, samples);
        if (samples.size() < 6) continue;
        const Quadric plane = fit(samples, {p.x, p.y}, 2 * spacing, 0.02, true);
        const double off = p.z - plane.at(p.x, p.y);
        // Tiers bend away from a plane by decimetres at 2 m; what is odd stands out from that too.
        if (!plane.valid || std::abs(off) < 0.5 + 6 * plane.sigma) continue;
        if (odd++ == 0) first = fmt::format("({:.2f}, {:.2f}) by {:+.2f} m", p.x, p.y, off);
    }
    if (odd == 1) survey.warnings.push_back(fmt::format("one level stands out from those round it, at {}; check its height", first));
    if (odd > 1)
        survey.warnings.push_back(fmt::format("{} levels stand out from those round them, the first at {}; check their heights", odd, first));
}

std::vector<std::size_t> counts_of(const Survey& survey) {
    std::vector<std::size_t> counts(kRemovalReasons, 0);
    for (std::uint8_t reason : survey.removed) ++counts[reason];
    return counts;
}

// Takes the marks off again from what is to stay; what lies outside the edge stays out.
void put_points_back(Survey& survey, const PutBack& put_back) {
    if (put_back.empty()) return;
    for (std::size_t k = 0; k < survey.removed.size(); ++k) {
        const auto reason = static_cast<RemovalReason>(survey.removed[k]);
        if (reason == kept || reason == outside_clip) continue;
        if (put_back.has(reason) || put_back.in_box({survey.points[k].x, survey.points[k].y})) survey.removed[k] = kept;
    }
}

// A cloud with so many points of each cell at most, every so-many-th of it.
Survey thinned(const Survey& survey, const PointGrid& cells, std::size_t most, const Progress& progress) {
    std::vector<std::vector<std::uint32_t>> rows(static_cast<std::size_t>(cells.rows()));
    tbb::parallel_for(0, cells.rows(), [&](int j) {
        progress.check();
        for (int i = 0; i < cells.columns(); ++i) {
            const auto held = cells.at(i, j);
            for (std::size_t n = 0; n < held.size(); n += held.size() / most + 1) rows[static_cast<std::size_t>(j)].push_back(held[n]);
        }
    });
    Survey out;
    const bool strips = survey.strips.size() == survey.points.size();
    for (const auto& row : rows) {
        progress.check();
        for (const std::uint32_t k : row) {
            out.points.push_back(survey.points[k]);
            if (strips) out.strips.push_back(survey.strips[k]);
        }
    }
    out.removed.assign(out.points.size(), kept);
    return out;
}

// The ground as the points show it: surfaces of small windows on two grids of cells.
struct Ground {
    PointGrid middle_cells, fine_cells;
    std::vector<Quadric> middle, fine;
    bool second_layer = false;  // one was found and marked
};

Ground ground_of(Survey& survey, const std::vector<std::uint32_t>& use, const Box& box, double spacing, bool layers, Progress& progress) {
    const std::vector<Vec3>& points = survey.points;
    // Coarse: low points of 1 m cells, a surface over 7 x 7 of them.
    const PointGrid coarse(points, use, box, std::max(1.0, 3 * spacing), progress);
    const std::vector<Vec3> picks = ground_picks(points, coarse, progress);
    const PointGrid pick_grid(picks, everyone(picks.size()), box, coarse.cell());
    const auto any = [](std::uint32_t) { return true; };
    std::vector<double> above, above_middle;
    heights_above(points, use, pick_grid, fit_cells(picks, pick_grid, 3, 0.05, any, progress), above, progress);
    progress.step(0.35, "cleaning");

    // Middle: all points near the coarse surface.
    Ground out{PointGrid(points, use, box, std::max(0.75, 3 * spacing), progress), PointGrid(points, use, box, std::max(kFineCellM, 3 * spacing), progress), {}, {}};
    const auto near_coarse = [&](std::uint32_t k) { return std::abs(above[k]) < kCoarseGateM; };
    out.middle = fit_cells(points, out.middle_cells, 1, 0.01, near_coarse, progress);
    heights_above(points, use, out.middle_cells, out.middle, above_middle, progress);
    progress.step(0.65, "cleaning");

    // Fine: points near the middle surface.
    const auto near_middle = [&](std::uint32_t k) { return std::abs(above_middle[k]) < kMiddleGateM; };
    out.fine = fit_cells(points, out.fine_cells, 1, 0.002, near_middle, progress);
    if (!layers) return out;
    heights_above(points, use, out.fine_cells, out.fine, above, progress);
    out.second_layer = drop_second_layer(survey, out.fine_cells, use, above, progress);
    if (out.second_layer) {
        const auto first_layer = [&](std::uint32_t k) { return survey.removed[k] == kept && near_middle(k); };
        out.fine = fit_cells(points, out.fine_cells, 1, 0.002, first_layer, progress);
    }
    return out;
}

std::vector<std::size_t> judge_points(Survey& survey, const PutBack& put_back, Progress& progress) {
    survey.removed.assign(survey.points.size(), kept);
    if (survey.points.size() < 3) return counts_of(survey);
    progress.step(0.0, "cleaning");
    if (!survey.grid_spacing_m) order_by_place(survey, progress);
    const bool raster = survey.grid_spacing_m.has_value();
    std::vector<std::uint32_t> use = kept_indices(survey.points, survey.removed, progress);
    const double first_spacing = raster ? *survey.grid_spacing_m : point_spacing(survey.points, use, progress);
    const bool levels = !raster && first_spacing > kLevelsSpacingM;

    if (!put_back.has(withheld)) drop_withheld(survey);

    // Outside the outline.
    if (survey.outline && !survey.outline->empty())
        drop_outside(survey, std::max(raster || levels ? kRimM : kDenseRimM, 2 * first_spacing), progress);
    if (!put_back.has(other_class)) drop_other_classes(survey);
    if (survey.outline || !survey.classes.empty()) use = kept_indices(survey.points, survey.removed, progress);
    if (use.size() < 12) return counts_of(survey);
    if (levels) {
        name_odd_levels(survey, first_spacing);
        return counts_of(survey);
    }
    progress.step(0.1, "cleaning");
    const std::vector<Vec3>& points = survey.points;
    const Box box = box_of(points, use);
    progress.check();
    const double spacing = raster || use.size() == points.size() ? first_spacing : point_spacing(points, use, progress);
    const bool layers = !raster && !put_back.has(double_strip);

    // The ground, from some of the points of a large cloud; where that shows a second layer, from all, so that each is marked.
    std::optional<Ground> ground;
    const PointGrid fine(points, use, box, std::max(kFineCellM, 3 * spacing), progress);
    if (!raster && use.size() >= kOrderedFrom) {
        Survey some = thinned(survey, fine, kCellSample, progress);
        progress.step(0.2, "cleaning");
        ground = ground_of(some, everyone(some.points.size()), box, spacing, layers, progress);
        if (ground->second_layer) ground.reset();
    }
    if (!ground) ground = ground_of(survey, use, box, spacing, layers, progress);
    if (ground->second_layer) use = kept_indices(survey.points, survey.removed, progress);
    const std::vector<Quadric>& surface = ground->fine;

    // The noise of the whole survey from the middle half of its windows.
    std::vector<double> sigmas;
    for (const Quadric& q : surface)
        if (q.valid) sigmas.push_back(q.sigma);
    if (sigmas.empty()) return counts_of(survey);
    const double sigma = median_of(sigmas);
    progress.step(0.85, "cleaning");

    // What each window allows, and whether the points of a cell stand too much alone.
    struct Window {
        double allowed;
        bool valid, alone;
    };
    std::vector<Window> windows(surface.size());
    tbb::parallel_for(0, fine.rows(), [&](int j) {
        progress.check();
        for (int i = 0; i < fine.columns(); ++i) {
            const std::size_t cell = static_cast<std::size_t>(j) * static_cast<std::size_t>(fine.columns()) + static_cast<std::size_t>(i);
            std::size_t round = 0;
            for (int b = j - 1; b <= j + 1; ++b)
                for (int a = i - 1; a <= i + 1; ++a) round += fine.at(a, b).size();
            // A window that clutter makes noisy may not excuse it: three times the usual noise is the most that is believed, and
            // a tier needs no more.
            const double s = std::clamp(surface[cell].sigma, 0.7 * sigma, 3 * sigma + 0.005);
            windows[cell] = {raster ? kMiddleGateM + 2 * kSigmas * s : kShapeAllowanceM + kSigmas * s, surface[cell].valid, !raster && round < 5};
        }
    });

    // Judge every point by its own window.
    const std::size_t parts = use.size() / 16384 + 1;
    std::vector<std::vector<std::uint32_t>> tall_parts(parts);
    for_parts(use.size(), parts, progress, [&](std::size_t part, std::size_t begin, std::size_t end) {
        for (std::size_t n = begin; n < end; ++n) {
            const std::uint32_t k = use[n];
            const Vec3& p = points[k];
            const std::size_t cell = static_cast<std::size_t>(fine.row_of(p.y)) * static_cast<std::size_t>(fine.columns()) + static_cast<std::size_t>(fine.column_of(p.x));
            const Window& window = windows[cell];
            const double above = window.valid ? p.z - surface[cell].at(p.x, p.y) : 0;
            if (window.alone) {
                survey.removed[k] = sparse;
            } else if (!window.valid) {
                // No ground near: what hangs above the coarse surface is clutter, what lies below it noise.
                const Quadric& wide = cell_of(ground->middle, ground->middle_cells, p);
                if (!raster) survey.removed[k] = wide.valid && p.z < wide.at(p.x, p.y) ? below_turf : above_turf;
            } else if (above > window.allowed) {
                survey.removed[k] = above_turf;
                if (above > kTallM) tall_parts[part].push_back(k);
            } else if (above < -window.allowed) {
                survey.removed[k] = below_turf;
            }
        }
    });
    if (raster) return counts_of(survey);

    // The foot of what stood on the turf goes with it: points somewhat high beside points far too high.
    std::vector<std::uint32_t> tall;
    for (const auto& part : tall_parts) tall.insert(tall.end(), part.begin(), part.end());
    if (!tall.empty()) {
        const double reach = std::max(0.15, 1.5 * spacing);
        const PointGrid feet(points, tall, box, reach);
        for_parts(use.size(), parts, progress, [&](std::size_t, std::size_t begin, std::size_t end) {
            for (std::size_t n = begin; n < end; ++n) {
                const std::uint32_t k = use[n];
                const Vec3& p = points[k];
                if (survey.removed[k] != kept) continue;
                const Quadric& q = cell_of(surface, fine, p);
                if (!q.valid || !(p.z - q.at(p.x, p.y) > 2 * sigma + 0.003)) continue;
                bool beside = false;
                for (int b = feet.row_of(p.y) - 1; b <= feet.row_of(p.y) + 1 && !beside; ++b)
                    for (int a = feet.column_of(p.x) - 1; a <= feet.column_of(p.x) + 1 && !beside; ++a)
                        for (std::uint32_t o : feet.at(a, b))
                            beside = beside || distance({points[o].x, points[o].y}, {p.x, p.y}) < reach;
                if (beside) survey.removed[k] = above_turf;
            }
        });
    }
    if (survey.outline && !survey.outline->empty()) drop_long_grass(survey, spacing, sigma, progress);
    progress.step(1.0, "cleaning");
    return counts_of(survey);
}

}  // namespace

std::vector<std::size_t> clean_survey(Survey& survey, Progress& progress, const PutBack& put_back) {
    std::vector<std::size_t> counts = judge_points(survey, put_back, progress);
    if (put_back.empty()) return counts;
    put_points_back(survey, put_back);
    return counts_of(survey);
}

}  // namespace brae
