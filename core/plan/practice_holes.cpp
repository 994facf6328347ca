#include "core/plan/practice_holes.h"

#include "core/base/error.h"
#include "core/base/segment.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace brae {

namespace {

constexpr double kSameHoleM = 0.05;

void check(const PracticeRules& r) {
    if (r.count < 1 || r.count > 18) throw usage_error(fmt::format("{} holes at once; 1 to 18 are wanted", r.count));
    for (const double d : {r.apart_m, r.clear_m, r.recent_m})
        if (!(d >= 0 && d <= 100)) throw usage_error(fmt::format("a distance of {:g} m between practice holes; 0 to 100 m is wanted", d));
}

// How near a place comes to what a station uses; its own hole does not count.
double distance_to(const StationGround& s, Vec2 p) {
    double least = std::min(distance(p, s.ball), distance(p, s.marker));
    const std::vector<Vec2> straight{s.ball, s.hole};
    return std::min(least, distance_to_path(p, s.path.size() >= 2 ? s.path : straight));
}

std::vector<Vec2> holes_of(const std::vector<StationGround>& stations) {
    std::vector<Vec2> out;
    for (const StationGround& s : stations)
        if (std::none_of(out.begin(), out.end(), [&](Vec2 h) { return distance(h, s.hole) < kSameHoleM; })) out.push_back(s.hole);
    return out;
}

// Indices of the places, best first, of which each keeps `apart` from those before and from the fixed ones. `least_in_the_way`: by
// how many others a place rules out, before its score.
std::vector<std::size_t> choose(const std::vector<HolePosition>& places, const std::vector<Vec2>& fixed, double apart, std::size_t wanted, bool least_in_the_way) {
    std::vector<char> open(places.size(), 1);
    const auto close_to = [&](Vec2 p) {
        for (std::size_t k = 0; k < places.size(); ++k)
            if (distance(places[k].p, p) < apart) open[k] = 0;
    };
    for (const Vec2& p : fixed) close_to(p);
    std::vector<std::size_t> out;
    while (out.size() < wanted) {
        std::optional<std::size_t> best;
        std::size_t best_blocked = 0;
        for (std::size_t k = 0; k < places.size(); ++k) {
            if (!open[k]) continue;
            std::size_t blocked = 0;
            if (least_in_the_way)
                for (std::size_t m = 0; m < places.size(); ++m) blocked += open[m] && distance(places[m].p, places[k].p) < apart;
            if (!best || blocked < best_blocked || (blocked == best_blocked && places[k].score > places[*best].score)) best = k, best_blocked = blocked;
        }
        if (!best) break;
        out.push_back(*best);
        close_to(places[*best].p);
    }
    return out;
}

std::vector<std::size_t> most_of(const std::vector<HolePosition>& places, const std::vector<Vec2>& fixed, double apart, std::size_t wanted) {
    std::vector<std::size_t> by_score = choose(places, fixed, apart, wanted, false);
    if (by_score.size() >= wanted) return by_score;
    std::vector<std::size_t> packed = choose(places, fixed, apart, wanted, true);
    return packed.size() > by_score.size() ? packed : by_score;
}

}  // namespace

PracticeHoles practice_holes(const std::vector<HolePosition>& fair, const std::vector<StationGround>& stations, const std::vector<Vec2>& plugs,
                             const PracticeRules& rules) {
    check(rules);
    PracticeHoles out;
    const std::vector<Vec2> fixed = holes_of(stations);
    for (const Vec2& p : fixed) out.holes.push_back({p, true, "the coach's stations play to it", 0});

    // Places that nothing but another hole keeps away.
    std::vector<HolePosition> places;
    std::size_t by_station = 0, by_plug = 0;
    for (const HolePosition& h : fair) {
        const bool station = std::any_of(stations.begin(), stations.end(), [&](const StationGround& s) { return distance_to(s, h.p) < rules.clear_m; });
        const bool plug = std::any_of(plugs.begin(), plugs.end(), [&](Vec2 p) { return distance(p, h.p) < rules.recent_m; });
        by_station += station, by_plug += plug && !station;
        if (!station && !plug) places.push_back(h);
    }
    const std::size_t wanted = static_cast<std::size_t>(rules.count) > fixed.size() ? static_cast<std::size_t>(rules.count) - fixed.size() : 0;
    for (const std::size_t k : most_of(places, fixed, rules.apart_m, wanted)) out.holes.push_back({places[k].p, false, places[k].why, places[k].score});

    // Up to which spacing all would fit: halving over decimetres.
    if (wanted > 0) {
        int fits = -1, fails = 400;
        if (most_of(places, fixed, 0, wanted).size() >= wanted) fits = 0;
        while (fits >= 0 && fails - fits > 1) {
            const int middle = (fits + fails) / 2;
            (most_of(places, fixed, middle / 10.0, wanted).size() >= wanted ? fits : fails) = middle;
        }
        out.widest_m = std::max(0, fits) / 10.0;
    }
    if (static_cast<int>(out.holes.size()) < rules.count) {
        out.why_fewer = fmt::format("{} of {} holes fit {:.1f} m apart among {} fair places", out.holes.size(), rules.count, rules.apart_m, fair.size());
        if (by_station > 0) out.why_fewer += fmt::format("; the coach's stations keep {} of them", by_station);
        if (by_plug > 0) out.why_fewer += fmt::format("; plugs keep {}", by_plug);
        if (out.widest_m > 0) out.why_fewer += fmt::format("; with {:.1f} m all would fit", out.widest_m);
    }
    return out;
}

std::vector<std::string> practice_clashes(const std::vector<Vec2>& holes, const std::vector<StationGround>& stations, const PracticeRules& rules) {
    check(rules);
    std::vector<std::string> out;
    for (std::size_t k = 0; k < holes.size(); ++k) {
        for (const StationGround& s : stations) {
            if (distance(s.hole, holes[k]) < kSameHoleM) continue;
            if (const double d = distance_to(s, holes[k]); d < rules.clear_m)
                out.push_back(fmt::format("hole {} lies {:.1f} m from the ground of station {}; {:.1f} m is wanted", k + 1, d, s.label, rules.clear_m));
        }
        for (std::size_t m = k + 1; m < holes.size(); ++m)
            if (const double d = distance(holes[k], holes[m]); d < rules.apart_m)
                out.push_back(fmt::format("holes {} and {} lie {:.1f} m apart; {:.1f} m is wanted", k + 1, m + 1, d, rules.apart_m));
    }
    for (const Vec2& hole : holes_of(stations))
        if (std::none_of(holes.begin(), holes.end(), [&](Vec2 h) { return distance(h, hole) < kSameHoleM; }))
            out.push_back(fmt::format("the hole at {:.1f}, {:.1f} that the coach's stations play to is not among them", hole.x, hole.y));
    return out;
}

}  // namespace brae
