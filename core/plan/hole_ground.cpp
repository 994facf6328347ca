#include "core/plan/hole_ground.h"

#include "core/base/error.h"
#include "core/base/segment.h"
#include "core/base/units.h"
#include "core/plan/hole_criteria.h"
#include "core/plan/hole_settings.h"
#include "core/plan/zones.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace brae {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kCell = 0.25;              // m, of the lattice of gradients and of points along the edge
constexpr double kBankInside = 0.3;         // m inside the edge, where the fall outwards is looked at
constexpr double kFar = 30, kUniformFar = 2;   // m; beyond these a figure says no more
constexpr double kCorridor = 3 * kFoot;     // to either side of the line of approach

double ring_distance(const std::vector<Vec2>& ring, Vec2 p) {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < ring.size(); ++i)
        least = std::min(least, distance(p, nearest_on_segment(p, ring[i], ring[(i + 1) % ring.size()])));
    return least;
}

// "4.5 m (4.9 paces)"
std::string paces(double metres) { return fmt::format("{:.1f} m ({:.1f} paces)", metres, metres / kPace); }

}  // namespace

HoleGround::HoleGround(const TerrainModel& terrain, GreenAround around, const HoleLimits& limits)
    : terrain_(terrain), around_(std::move(around)), limits_(limits) {
    if (terrain.outline.empty() || !terrain.surface) throw usage_error("the green has no outline or no surface; both are wanted");
    check_hole_limits(limits);
    for (const auto* rings : {&around_.closed, &around_.guards})
        for (const auto& ring : *rings)
            if (ring.size() < 3) throw usage_error(fmt::format("a zone has {} corners; at least 3 are wanted", ring.size()));
    if (around_.play) {
        if (!(norm(*around_.play) > 0)) throw usage_error("the way of play has no direction");
        around_.play = unit(*around_.play);
    }

    // Gradients of the whole green, once.
    const Box& box = terrain.outline.box();
    gx_ = Raster(static_cast<int>(std::ceil(box.width() / kCell)), static_cast<int>(std::ceil(box.height() / kCell)), box.x0, box.y0, kCell, kNone);
    gy_ = gx_;
    for (int j = 0; j < gx_.rows; ++j)
        for (int i = 0; i < gx_.columns; ++i) {
            const Vec2 p = gx_.centre(i, j);
            if (!terrain.outline.contains(p)) continue;
            const SurfaceJet jet = terrain.surface->jet(p.x, p.y);
            gx_.at(i, j) = jet.hx;
            gy_.at(i, j) = jet.hy;
        }

    // Points of the edge beside a bunker, or where the green falls away outwards.
    const auto& ring = terrain.outline.ring();
    for (std::size_t k = 0; k < ring.size(); ++k) {
        const Vec2 a = ring[k], b = ring[(k + 1) % ring.size()];
        const double length = distance(a, b);
        if (!(length > 0)) continue;
        const Vec2 outwards = right_of((b - a) / length);     // the ring runs counter-clockwise
        const int parts = std::max(1, static_cast<int>(length / kCell));
        for (int n = 0; n < parts; ++n) {
            const Vec2 p = a + ((n + 0.5) / parts) * (b - a);
            bool guarded = std::any_of(around_.guards.begin(), around_.guards.end(), [&](const auto& g) {
                return side_of_ring(g, p) >= 0 || ring_distance(g, p) <= limits.guard_reach_m;
            });
            const Vec2 in = p - kBankInside * outwards;
            if (!guarded && terrain.outline.contains(in)) {
                const SurfaceJet jet = terrain.surface->jet(in.x, in.y);
                guarded = -(jet.hx * outwards.x + jet.hy * outwards.y) > limits.bank_slope;
            }
            if (guarded) guarded_.push_back(p);
        }
    }
}

Vec2 HoleGround::gradient(Vec2 p) const {
    const int i = static_cast<int>(std::floor((p.x - gx_.x0) / kCell)), j = static_cast<int>(std::floor((p.y - gx_.y0) / kCell));
    if (i < 0 || j < 0 || i >= gx_.columns || j >= gx_.rows || std::isnan(gx_.at(i, j))) return {};
    return {gx_.at(i, j), gy_.at(i, j)};
}

double HoleGround::guarded_edge_m(Vec2 p) const {
    double least = kFar;
    for (Vec2 q : guarded_) least = std::min(least, distance(p, q));
    return least;
}

double HoleGround::steep_ground_m(Vec2 p, double green_speed_ft) const {
    const double steep2 = std::pow(steep_slope(green_speed_ft), 2);
    // Rows outwards from the place, until none can be nearer.
    double least = kFar;
    const int jp = static_cast<int>(std::floor((p.y - gx_.y0) / kCell)), ip = static_cast<int>(std::floor((p.x - gx_.x0) / kCell));
    for (int out = 0; out * kCell < least + kCell; ++out)
        for (int j : {jp - out, jp + out}) {
            if (j < 0 || j >= gx_.rows || (out == 0 && j != jp)) continue;
            const int reach = static_cast<int>(least / kCell) + 1;
            for (int i = std::max(0, ip - reach); i <= std::min(gx_.columns - 1, ip + reach); ++i) {
                const double gx = gx_.at(i, j), gy = gy_.at(i, j);
                if (gx * gx + gy * gy > steep2) least = std::min(least, distance(p, gx_.centre(i, j)));
            }
        }
    return least;
}

double HoleGround::uniform_m(Vec2 p) const {
    // Rings outwards in steps of 5 cm; the departure is that of the gradient as a vector, so that a ridge counts.
    const SurfaceJet here = terrain_.surface->jet(p.x, p.y);
    for (double r = 0.05; r < kUniformFar; r += 0.05) {
        const int parts = std::max(8, static_cast<int>(std::ceil(2 * kPi * r / 0.12)));
        for (int k = 0; k < parts; ++k) {
            const Vec2 q = p + r * direction_of_bearing(360.0 * k / parts);
            if (!terrain_.outline.contains(q)) continue;
            const SurfaceJet jet = terrain_.surface->jet(q.x, q.y);
            if (std::hypot(jet.hx - here.hx, jet.hy - here.hy) > limits_.slope_change) return r;
        }
    }
    return kUniformFar;
}

double HoleGround::approach_m(Vec2 p, double green_speed_ft) const {
    if (!around_.play) return kFar;
    const double steep = steep_slope(green_speed_ft);
    const Vec2 back = -*around_.play, side = right_of(back);
    for (double r = 0; r < kFar; r += kCell)
        for (double off = -kCorridor; off <= kCorridor + 1e-9; off += kCorridor / 2) {
            // The corridor is square to the line; beside the hole itself the edge's own limit counts.
            if (r < kCell && std::abs(off) > 1e-9) continue;
            const Vec2 q = p + r * back + off * side;
            if (!terrain_.outline.contains(q) || inside_any(around_.closed, q) || inside_any(around_.guards, q) || norm(gradient(q)) > steep)
                return r;
        }
    return kFar;
}

bool HoleGround::runs_away(Vec2 from, Vec2 to, double green_speed_ft) const {
    const double way = distance(from, to);
    const Vec2 u = (to - from) / std::max(way, 1e-9);
    for (double s = 0; s <= way; s += kCell)
        if (roll_ratio(-dot(gradient(from + s * u), u), green_speed_ft) >= 1) return true;
    return false;
}

std::vector<Criterion> HoleGround::judge(Vec2 p, double green_speed_ft) const {
    std::vector<Criterion> out;
    const double edge = terrain_.outline.signed_distance(p);
    out.push_back(edge_criterion(edge, limits_));
    if (edge < 0) return out;

    // What people have closed, by its name where it has one.
    for (std::size_t k = 0; k < around_.closed.size(); ++k) {
        if (side_of_ring(around_.closed[k], p) < 0) continue;
        const std::string words = k < around_.closed_words.size() ? around_.closed_words[k] : "closed zone";
        out.push_back({"closed ground", false, 0, 1, "", "the place lies in the " + words, true, true});
    }

    // More over a bunker or a bank (USGA/R&A guidance, from memory).
    if (!guarded_.empty()) {
        const double guarded = guarded_edge_m(p), wanted = limits_.edge_m + limits_.guarded_extra_m;
        Criterion c{"guarded edge", guarded >= wanted, guarded, wanted, "m", "", true, true};
        c.sentence = guarded >= kFar ? "no bunker or steep bank is near"
                                     : fmt::format("{} from the edge beside a bunker or over a steep bank {} the {} wanted there", paces(guarded),
                                                   c.pass ? "meets" : "is short of", paces(wanted));
        out.push_back(std::move(c));
    }

    // No steep slope near, nor where a ball gathers speed (Lemons 2008).
    {
        const double steep = steep_ground_m(p, green_speed_ft);
        Criterion c{"steep ground", steep >= limits_.steep_m, steep, limits_.steep_m, "m", "", true, true};
        const double percent_of = percent(steep_slope(green_speed_ft));
        c.sentence = steep >= kFar ? fmt::format("no ground over {:.1f} %, on which a ball gathers speed at {:.1f} ft, is near", percent_of, green_speed_ft)
                                   : fmt::format("{:.2f} m from ground over {:.1f} %, on which a ball gathers speed at {:.1f} ft; {:.2f} m is wanted", steep,
                                                 percent_of, green_speed_ft, limits_.steep_m);
        out.push_back(std::move(c));
    }

    const GroundRound ground = ground_round(terrain_, p, limits_.radius_m);
    out.push_back(slope_criterion(ground.slope, green_speed_ft, limits_));
    out.push_back(change_criterion(ground.change, slope_standard_error(terrain_.error), limits_));

    // More than 3 ft round the hole of constant slope (Lemons 2008).
    {
        const double uniform = uniform_m(p);
        Criterion c{"uniform grade", uniform >= limits_.uniform_m - 1e-9, uniform, limits_.uniform_m, "m", "", true, true};
        c.sentence = fmt::format("the grade is the hole's own within {:.1f} % out to {}{:.2f} m ({:.1f} ft), {} the {:.2f} m ({:.1f} ft) wanted",
                                 percent(limits_.slope_change), uniform >= kUniformFar ? "at least " : "", uniform, uniform / kFoot,
                                 c.pass ? "meets" : "short of", limits_.uniform_m, limits_.uniform_m / kFoot);
        out.push_back(std::move(c));
    }

    // Enough green on the side of the shot (USGA/R&A guidance, from memory).
    if (around_.play) {
        const double free = approach_m(p, green_speed_ft);
        Criterion c{"approach", free >= limits_.approach_m, free, limits_.approach_m, "m", "", true, true};
        c.sentence = fmt::format("{} of free green on the side that is played from {} the {} wanted", paces(free), c.pass ? "meets" : "is short of",
                                 paces(limits_.approach_m));
        out.push_back(std::move(c));
    }
    return out;
}

}  // namespace brae
