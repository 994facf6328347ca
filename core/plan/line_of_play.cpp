#include "core/plan/line_of_play.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/survey/ring.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

// One standard error of a count that is rounded to a whole pace: even over plus and minus half of one.
const double kCountSe = kPace / std::sqrt(12.0);
// Places that counts leave to worse than this are not taken.
constexpr double kLoosest = 1.5;

struct Span { double from = 0, to = 0; };

// The ring as the player sees it: u to the right, v away along the line of play.
class SeenRing {
public:
    SeenRing(const Outline& outline, const LineOfPlay& line) : along_(line.direction), across_(right_of(line.direction)) {
        for (const Vec2& p : outline.ring()) ring_.push_back(seen(p));
        box_ = box_of(ring_);
    }
    Vec2 seen(Vec2 p) const { return {dot(p, across_), dot(p, along_)}; }
    Vec2 local(Vec2 s) const { return s.x * across_ + s.y * along_; }
    const Box& box() const { return box_; }

    // Where the line u = at runs over green, by v; or the line v = at, by u. By the half-open rule crossings come in pairs. A
    // line along the outermost side counts as just inside it.
    std::vector<Span> along(double at) const { return spans(inside(at, box_.x0, box_.x1), [](Vec2 p) { return p; }); }
    std::vector<Span> across(double at) const { return spans(inside(at, box_.y0, box_.y1), [](Vec2 p) { return Vec2{p.y, p.x}; }); }

private:
    static double inside(double at, double low, double high) { return std::clamp(at, low + 1e-9, high - 1e-9); }
    template <typename Turn>
    std::vector<Span> spans(double at, const Turn& turn) const {
        std::vector<double> hits;
        for (std::size_t k = 0; k < ring_.size(); ++k) {
            const Vec2 a = turn(ring_[k]), b = turn(ring_[(k + 1) % ring_.size()]);
            if ((a.x <= at) != (b.x <= at)) hits.push_back(a.y + (at - a.x) / (b.x - a.x) * (b.y - a.y));
        }
        std::sort(hits.begin(), hits.end());
        std::vector<Span> out;
        for (std::size_t k = 0; k + 1 < hits.size(); k += 2) out.push_back({hits[k], hits[k + 1]});
        return out;
    }
    Vec2 along_, across_;
    std::vector<Vec2> ring_;
    Box box_;
};

// The span that holds a value or lies next to it; one of no length where there is none (a corner that is only touched).
Span span_at(const std::vector<Span>& spans, double value) {
    Span best{value, value};
    double least = 1e-6;   // how far rounding may put a place on the ring outside
    for (const Span& s : spans) {
        const double off = std::max({s.from - value, value - s.to, 0.0});
        if (off < least) best = s, least = off;
    }
    return best;
}

PlaceByPaces measured(const SeenRing& ring, Vec2 s) {
    const std::vector<Span> along = ring.along(s.x);
    const Span depth = span_at(along, s.y), width = span_at(ring.across(s.y), s.x);
    PlaceByPaces out;
    out.on_m = std::max(0.0, s.y - depth.from);
    out.behind_m = std::max(0.0, depth.to - s.y);
    out.left_m = std::max(0.0, s.x - width.from);
    out.right_m = std::max(0.0, width.to - s.x);
    if (!along.empty()) out.first_edge_m = std::max(0.0, depth.from - along.front().from);
    return out;
}

std::array<double, 2> thirds_of(double low, double high) { return {low + (high - low) / 3, low + 2 * (high - low) / 3}; }
int third_at(const std::array<double, 2>& limits, double value) { return value < limits[0] ? 0 : value < limits[1] ? 1 : 2; }

// How far whole paces leave a place open: the change of both counts over a step of two decimetres, turned round.
double looseness(const SeenRing& ring, Vec2 s, GreenSide side) {
    constexpr double kStep = 0.2;
    const auto counts = [&](Vec2 at) {
        const PlaceByPaces m = measured(ring, at);
        return Vec2{m.on_m, side == GreenSide::left ? m.left_m : m.right_m};
    };
    const auto slope = [&](Vec2 step) { return (counts(s + step) - counts(s - step)) / (2 * norm(step)); };
    const Vec2 by_u = slope({kStep, 0}), by_v = slope({0, kStep});
    const double det = cross(by_u, by_v);
    return kCountSe * std::sqrt(dot(by_u, by_u) + dot(by_v, by_v)) / std::max(std::abs(det), 1e-6);
}

std::string paces(double metres) { return fmt::format("{:.1f}", metres / kPace); }

}  // namespace

LineOfPlay line_of_play_towards(double bearing) {
    if (!std::isfinite(bearing)) throw usage_error("the line of play's bearing is no number; degrees clockwise from north are wanted");
    return {direction_of_bearing(bearing), {}};
}

LineOfPlay line_of_play_along(std::vector<Vec2> approach) {
    if (approach.size() < 2) throw usage_error(fmt::format("the line of play has {} point{}; two or more are wanted, the last on the green's side", approach.size(), approach.size() == 1 ? "" : "s"));
    const Vec2 leg = approach.back() - approach[approach.size() - 2];
    if (!(norm(leg) >= 0.5)) throw usage_error(fmt::format("the last leg of the line of play is {:.2f} m long; half a metre or more is wanted to tell its direction", norm(leg)));
    return {unit(leg), std::move(approach)};
}

std::string to_text(GreenSide side) { return side == GreenSide::left ? "left" : "right"; }

std::optional<PlaceByPaces> place_by_paces(const Outline& outline, const LineOfPlay& line, Vec2 p) {
    if (outline.empty() || side_of_ring(outline.ring(), p) < 0) return std::nullopt;
    const SeenRing ring(outline, line);
    PlaceByPaces out = measured(ring, ring.seen(p));
    const PlayThirds thirds(outline, line);
    out.depth = thirds.depth(p);
    out.across = thirds.across(p);
    return out;
}

std::string paces_text(const PlaceByPaces& place, bool halves) {
    const auto count = [&](double metres) {
        return halves ? fmt::format("{:g}", std::round(2 * metres / kPace) / 2) : fmt::format("{:.0f}", std::round(metres / kPace));
    };
    return fmt::format("{} on, {} {}", count(place.on_m), count(place.side_m()), to_text(place.side()));
}

std::string third_text(const PlaceByPaces& place) {
    static constexpr std::array<const char*, 3> kDepth{"front", "middle", "back"}, kAcross{"left", "centre", "right"};
    return fmt::format("{} {}", kDepth[static_cast<std::size_t>(place.depth)], kAcross[static_cast<std::size_t>(place.across)]);
}

PlayThirds::PlayThirds(const Outline& outline, const LineOfPlay& line) : along_(line.direction) {
    const SeenRing ring(outline, line);
    const Box& box = ring.box();
    width_ = thirds_of(box.x0, box.x1);
    depth_ = thirds_of(box.y0, box.y1);
}
int PlayThirds::depth(Vec2 p) const { return third_at(depth_, dot(p, along_)); }
int PlayThirds::across(Vec2 p) const { return third_at(width_, dot(p, right_of(along_))); }

std::vector<CountedPlace> places_at_paces(const Outline& outline, const LineOfPlay& line, double on_m, GreenSide side, double side_m) {
    if (outline.empty() || !(on_m >= 0) || !(side_m >= 0)) return {};
    const SeenRing ring(outline, line);
    const Box& box = ring.box();

    // For every line along the play, the place so far on; by how much it misses the count from the side.
    struct Try { double front = 0, v = 0, miss = 0; };
    const auto tries = [&](double u) {
        std::vector<Try> out;
        for (const Span& s : ring.along(u)) {
            if (s.to - s.from < on_m - 1e-9) continue;
            const double v = s.from + on_m;
            const Span width = span_at(ring.across(v), u);
            out.push_back({s.from, v, (side == GreenSide::left ? u - width.from : width.to - u) - side_m});
        }
        return out;
    };
    // The try of another line that goes on from this one: the front edge nearest to its own.
    const auto next_to = [](const std::vector<Try>& all, const Try& t) -> const Try* {
        const auto near = std::min_element(all.begin(), all.end(), [&](const Try& a, const Try& b) { return std::abs(a.front - t.front) < std::abs(b.front - t.front); });
        return near == all.end() ? nullptr : &*near;
    };
    std::vector<Vec2> found;
    const auto keep = [&](Vec2 s) {
        if (std::none_of(found.begin(), found.end(), [&](Vec2 f) { return distance(f, s) < 0.02; })) found.push_back(s);
    };

    constexpr double kStep = 0.01, kExact = 1e-4;
    double last = box.x0 + 1e-6;
    std::vector<Try> before = tries(last);
    while (last < box.x1 - 1e-6) {
        const double here = std::min(last + kStep, box.x1 - 1e-6);
        std::vector<Try> now = tries(here);
        for (const Try& a : before) {
            if (std::abs(a.miss) < kExact / 10) keep({last, a.v});
            const Try* b = next_to(now, a);
            if (!b || (a.miss < 0) == (b->miss < 0)) continue;
            // Halving; a jump of the edge instead of a root leaves a miss behind.
            double low = last, high = here;
            Try at = a;
            for (int k = 0; k < 50 && std::abs(at.miss) > kExact / 10; ++k) {
                const double middle = (low + high) / 2;
                const std::vector<Try> all = tries(middle);
                const Try* t = next_to(all, a);
                if (!t) break;
                at = *t;
                ((at.miss < 0) == (a.miss < 0) ? low : high) = middle;
                if (std::abs(at.miss) <= kExact / 10) keep({middle, at.v});
            }
        }
        last = here;
        before = std::move(now);
    }

    std::vector<CountedPlace> out;
    std::sort(found.begin(), found.end(), [](Vec2 a, Vec2 b) { return a.x < b.x; });
    for (const Vec2& s : found) out.push_back({ring.local(s), measured(ring, s).side() == side, looseness(ring, s, side)});
    std::stable_partition(out.begin(), out.end(), [](const CountedPlace& c) { return c.nearer; });
    return out;
}

CountedPlace place_at_paces(const Outline& outline, const LineOfPlay& line, double on_m, GreenSide side, double side_m) {
    const std::string asked = fmt::format("{} paces on and {} from the {}", paces(on_m), paces(side_m), to_text(side));
    std::vector<CountedPlace> all = places_at_paces(outline, line, on_m, side, side_m);
    if (all.empty()) {
        // How deep it is, and how wide so far on.
        const SeenRing ring(outline, line);
        const Box& box = ring.box();
        double deepest = 0, widest = 0;
        for (double u = box.x0 + 0.05; u < box.x1; u += 0.1)
            for (const Span& s : ring.along(u)) {
                deepest = std::max(deepest, s.to - s.from);
                if (s.to - s.from < on_m) continue;
                const Span width = span_at(ring.across(s.from + on_m), u);
                widest = std::max(widest, side == GreenSide::left ? u - width.from : width.to - u);
            }
        if (on_m > deepest) throw Error(fmt::format("{}: the green is at most {} paces deep along its line of play", asked, paces(deepest)));
        if (side_m > widest) throw Error(fmt::format("{}: so far on the green reaches {} paces from its {} edge", asked, paces(widest), to_text(side)));
        throw Error(fmt::format("{}: no place of the green lies there; count again", asked));
    }
    // The side that was counted from is the nearer one, unless no place has it so.
    if (all.front().nearer) std::erase_if(all, [](const CountedPlace& c) { return !c.nearer; });
    const auto loosest = std::max_element(all.begin(), all.end(), [](const CountedPlace& a, const CountedPlace& b) { return a.se_m < b.se_m; });
    if (loosest->se_m > kLoosest)
        throw Error(fmt::format("{}: front edge and {} edge are nearly one straight edge there, so that paces do not fix the place; give two tapes or X,Y", asked, to_text(side)));
    if (all.size() > 1) {
        std::string names;
        for (const CountedPlace& c : all) {
            const PlaceByPaces m = place_by_paces(outline, line, c.p).value_or(PlaceByPaces{});
            names += fmt::format("{}{:.2f},{:.2f} ({} paces from the {})", names.empty() ? "" : " and ", c.p.x, c.p.y,
                                 paces(side == GreenSide::left ? m.right_m : m.left_m), side == GreenSide::left ? "right" : "left");
        }
        throw Error(fmt::format("{}: {} places fit, {}; give one of them as X,Y", asked, all.size(), names));
    }
    return all.front();
}

}  // namespace brae
