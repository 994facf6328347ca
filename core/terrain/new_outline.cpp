#include "core/terrain/new_outline.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/survey/ring.h"
#include "core/terrain/build_terrain.h"
#include "core/terrain/data_gaps.h"
#include "core/terrain/data_reach.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace brae {

namespace {

// Less than half a cell, so that a ring on the edge of the data encloses the centre of no cell without data.
constexpr double kSlackCells = 0.45;

// A point of a side is on it by rounding only.
constexpr double kOnEdgeM = 1e-3;

// The ring as Outline keeps it: no repeated neighbours, no repeated first corner.
std::vector<Vec2> distinct(const std::vector<Vec2>& ring) {
    std::vector<Vec2> out;
    for (Vec2 p : ring)
        if (out.empty() || !(p == out.back())) out.push_back(p);
    while (out.size() > 1 && out.front() == out.back()) out.pop_back();
    return out;
}

// Where two sides cross; the nearer end where they run along one another.
Vec2 crossing_of(Vec2 a, Vec2 b, Vec2 c, Vec2 d) {
    const double turn = cross(b - a, d - c);
    if (turn == 0) return side_of_ring({a, b, b}, c) == 0 ? c : d;
    return a + std::clamp(cross(c - a, d - c) / turn, 0.0, 1.0) * (b - a);
}

// Ground that was surveyed, inside the present outline or not.
class SurveyedGround {
public:
    SurveyedGround(const TerrainModel& model, OutlineGround ground)
        : se_(model.grid.height_se), outer_(model.outline.ring()), outline_(model.outline), slack_(kSlackCells * se_.cell) {
        if (ground == OutlineGround::data && model.reach.size() >= 3) reach_ = &model.reach;
    }

    bool known(int i, int j) const {
        if (i < 0 || j < 0 || i >= se_.columns || j >= se_.rows) return false;
        const double se = se_.at(i, j);
        return se > 0 && std::isfinite(se);
    }
    bool known_at(Vec2 p) const { return known(column(p), row(p)); }

    bool covers(Vec2 p) const {
        if (outline_.contains(p) || side_of_ring(outer_, p) >= 0) return true;
        const int ci = column(p), cj = row(p);
        for (int j = cj - 1; j <= cj + 1; ++j)
            for (int i = ci - 1; i <= ci + 1; ++i)
                if (known(i, j) && to_cell(i, j, p) <= slack_) return true;
        if (reach_ != nullptr && (side_of_ring(*reach_, p) >= 0 || to_reach(p) <= slack_)) return true;
        return distance(p, outline_.nearest_edge_point(p)) < kOnEdgeM;
    }
    // How far p lies from the nearest ground, m.
    double beyond(Vec2 p) {
        if (border_.empty()) find_border();
        double least = distance(p, outline_.nearest_edge_point(p));
        for (const auto& [i, j] : border_) least = std::min(least, to_cell(i, j, p));
        return reach_ != nullptr ? std::min(least, to_reach(p)) : least;
    }

private:
    int column(Vec2 p) const { return cell_index((p.x - se_.x0) / se_.cell); }
    int row(Vec2 p) const { return cell_index((p.y - se_.y0) / se_.cell); }
    static int cell_index(double at) { return static_cast<int>(std::floor(std::clamp(at, -1e6, 1e6))); }
    double to_cell(int i, int j, Vec2 p) const {
        const Vec2 c = se_.centre(i, j);
        const double half = 0.5 * se_.cell;
        return std::hypot(std::max(std::abs(p.x - c.x) - half, 0.0), std::max(std::abs(p.y - c.y) - half, 0.0));
    }
    double to_reach(Vec2 p) const {
        double least = INFINITY;
        for (std::size_t k = 0; k < reach_->size(); ++k) {
            const Vec2 a = (*reach_)[k], side = (*reach_)[(k + 1) % reach_->size()] - a;
            const double length2 = dot(side, side), t = length2 > 0 ? std::clamp(dot(p - a, side) / length2, 0.0, 1.0) : 0;
            least = std::min(least, distance(p, a + t * side));
        }
        return least;
    }
    void find_border() {
        for (int j = 0; j < se_.rows; ++j)
            for (int i = 0; i < se_.columns; ++i)
                if (known(i, j) && !(known(i - 1, j) && known(i + 1, j) && known(i, j - 1) && known(i, j + 1)))
                    border_.push_back({i, j});
    }

    const Raster& se_;
    const std::vector<Vec2>& outer_;
    const Outline& outline_;
    const std::vector<Vec2>* reach_ = nullptr;
    double slack_;
    std::vector<std::pair<int, int>> border_;
};

}  // namespace

std::string where_from(OutlineSource source) {
    switch (source) {
        case OutlineSource::file: return "from a file";
        case OutlineSource::point_codes: return "from point codes";
        case OutlineSource::drawn: return "drawn by hand";
        case OutlineSource::data_boundary: break;
    }
    return "from the boundary of the data";
}

std::string to_text(const OutlineFault& fault, bool feet) {
    const auto place = [&] { return fault.where ? fmt::format("({:.2f}, {:.2f})", fault.where->x, fault.where->y) : std::string(); };
    switch (fault.kind) {
        case OutlineFault::Kind::corners:
            return fmt::format("the outline has {:.0f} distinct corners; at least 3 are wanted", fault.amount);
        case OutlineFault::Kind::not_a_number: return "the outline holds a coordinate that is not a number";
        case OutlineFault::Kind::crossing:
            return fmt::format("the outline crosses itself at {}, where the sides after its corners {} and {} meet; move or take away one "
                               "of them", place(), fault.first + 1, fault.second + 1);
        case OutlineFault::Kind::area: {
            const double unit = feet ? kFoot * kFoot : 1;
            const auto whole = [&](double m2, int digits) { return fmt::format("{:.{}f}", m2 / unit, digits); };
            return fmt::format("the outline encloses {} {}; between {} and {} is wanted", whole(fault.amount, fault.amount / unit < 100 ? 1 : 0),
                               feet ? "ft\u00b2" : "m\u00b2", whole(kSmallestGreenM2, 0), whole(kLargestGreenM2, 0));
        }
        case OutlineFault::Kind::beyond: break;
    }
    return fmt::format("the outline leaves the surveyed ground by {} at {}; draw it within that ground or survey more of it",
                       feet ? fmt::format("{:.1f} ft", fault.amount / kFoot) : fmt::format("{:.2f} m", fault.amount), place());
}

std::optional<OutlineFault> outline_fault(const TerrainModel& model, const std::vector<Vec2>& drawn, OutlineGround on) {
    using Kind = OutlineFault::Kind;
    for (Vec2 p : drawn)
        if (!std::isfinite(p.x) || !std::isfinite(p.y)) return OutlineFault{Kind::not_a_number, std::nullopt, 0, 0, 0};
    const std::vector<Vec2> ring = distinct(drawn);
    if (ring.size() < 3) return OutlineFault{Kind::corners, std::nullopt, static_cast<double>(ring.size()), 0, 0};

    // One line round one piece of ground.
    if (const auto sides = first_crossing(ring)) {
        const auto [i, k] = *sides;
        const Vec2 at = crossing_of(ring[i], ring[(i + 1) % ring.size()], ring[k], ring[(k + 1) % ring.size()]);
        return OutlineFault{Kind::crossing, at, 0, i, k};
    }
    const double area = std::abs(signed_area(ring));
    if (area < kSmallestGreenM2 || area > kLargestGreenM2) return OutlineFault{Kind::area, ring_centroid(ring), area, 0, 0};

    // Every side over surveyed ground, looked at twice a cell; the place farthest beyond is named.
    SurveyedGround ground(model, on);
    const double step = 0.5 * std::max(model.grid.height.cell, 0.05);
    OutlineFault worst{Kind::beyond, std::nullopt, 0, 0, 0};
    for (std::size_t k = 0; k < ring.size(); ++k) {
        const Vec2 a = ring[k], b = ring[(k + 1) % ring.size()];
        const int pieces = static_cast<int>(std::min(std::ceil(distance(a, b) / step), 4000.0)) + 1;
        double least_next = 0;
        for (int s = 0; s < pieces; ++s) {
            // Where the ground is far, near neighbours are no nearer than the step between them allows.
            if (s * distance(a, b) / pieces < least_next) continue;
            const Vec2 p = a + (static_cast<double>(s) / pieces) * (b - a);
            if (ground.covers(p)) continue;
            const double off = ground.beyond(p);
            if (!worst.where || off > worst.amount) worst.where = p, worst.amount = off;
            least_next = s * distance(a, b) / pieces + 0.2 * off;
        }
    }
    if (worst.where) return worst;
    return std::nullopt;
}

bool needs_new_surface(const TerrainModel& model, const std::vector<Vec2>& ring) {
    const auto fault = outline_fault(model, ring);
    return fault && fault->kind == OutlineFault::Kind::beyond && !outline_fault(model, ring, OutlineGround::data);
}

TerrainModel with_outline(const TerrainModel& model, const std::vector<Vec2>& ring) {
    if (const auto fault = outline_fault(model, ring)) throw Error(to_text(*fault));
    TerrainModel out = model;
    out.outline = Outline(ring, OutlineSource::drawn).with_cut_outs_of(model.outline);

    // Cells inside that have data; their heights are the surface's own, also where an earlier mask left them out.
    const SurveyedGround ground(model, OutlineGround::surface);
    ElevationModel& grid = out.grid;
    std::size_t missing = 0, before = 0, now = 0;
    for (int j = 0; j < grid.height.rows; ++j)
        for (int i = 0; i < grid.height.columns; ++i) {
            const Vec2 c = grid.height.centre(i, j);
            unsigned char& cell = grid.mask[grid.height.index(i, j)];
            before += cell != 0;
            const bool inside = out.outline.contains(c), has = ground.known(i, j) || cell != 0;
            cell = inside && has ? 1 : 0;
            now += cell != 0;
            missing += inside && !has;
            if (cell) grid.height.at(i, j) = out.surface->height(c.x, c.y);
        }
    if (missing > 0) out.outline = out.outline.with_gaps(gap_rings(grid, out.outline));

    // Points in proportion, and no word about an edge that is drawn now.
    if (before > 0)
        out.points_used = static_cast<std::size_t>(std::llround(static_cast<double>(model.points_used) * static_cast<double>(now) / static_cast<double>(before)));
    std::erase_if(out.warnings, [](const std::string& w) { return w == kNoOutlineWarning || w.starts_with(kFormerEdgeStays); });
    return out;
}

}  // namespace brae
