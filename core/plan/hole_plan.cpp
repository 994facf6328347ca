#include "core/base/units.h"
#include "core/plan/hole_criteria.h"
#include "core/plan/hole_lattice.h"
#include "core/plan/hole_rotation.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

constexpr std::size_t kBest = 10;       // positions for one day
constexpr std::size_t kPool = 40;       // places that a rotation chooses from

bool far_from(const std::vector<Vec2>& others, Vec2 p, double apart) {
    return std::all_of(others.begin(), others.end(), [&](Vec2 q) { return distance(p, q) >= apart; });
}

void by_score(std::vector<HolePosition>& positions) {
    std::stable_sort(positions.begin(), positions.end(),
                     [](const HolePosition& a, const HolePosition& b) {
                         return a.score != b.score ? a.score > b.score : a.edge_m > b.edge_m;
                     });
}

// The best places that keep a distance from one another; with thirds, one from each part of the green in turn.
std::vector<HolePosition> spread(const std::vector<HolePosition>& ranked, double apart, std::size_t most,
                                 const GreenThirds* thirds) {
    std::vector<HolePosition> out;
    std::vector<Vec2> taken;
    const int parts = thirds ? 9 : 1;
    std::vector<std::size_t> next(parts, 0);
    bool found = true;
    while (found && out.size() < most) {
        found = false;
        for (int part = 0; part < parts && out.size() < most; ++part)
            for (std::size_t& k = next[part]; k < ranked.size(); ++k) {
                const HolePosition& h = ranked[k];
                if (thirds && 3 * thirds->along(h.p) + thirds->across(h.p) != part) continue;
                if (!far_from(taken, h.p, apart)) continue;
                taken.push_back(h.p);
                out.push_back(h);
                found = true;
                ++k;
                break;
            }
    }
    return out;
}

const Criterion& tightest_of(const HolePosition& h) {
    return *std::min_element(h.criteria.begin(), h.criteria.end(),
                             [](const Criterion& a, const Criterion& b) { return margin(a) < margin(b); });
}

// The highest green speed, to a tenth of a foot, at which one of the places would be fair; 0 where none is.
double speed_that_allows(const TerrainModel& terrain, const std::vector<HolePosition>& judged, double speed_ft,
                         const HoleLimits& limits, Progress& progress) {
    // Edge and change of slope do not depend on the speed; the slope limit gives each place its own highest speed.
    struct Place { Vec2 p; double highest; };
    std::vector<Place> places;
    for (const HolePosition& h : judged) {
        if (h.criteria.size() < 3 || !h.criteria[0].pass || !h.criteria[2].pass || h.slope > limits.slope_ceiling) continue;
        places.push_back({h.p, limits.slope_times_speed / std::max(h.slope, 1e-9)});
    }
    std::stable_sort(places.begin(), places.end(), [](const Place& a, const Place& b) { return a.highest > b.highest; });
    for (double tenths = std::ceil(10 * speed_ft) - 1; tenths >= 10 * kSlowestGreenFt; --tenths) {
        progress.step(0.9, "looking for a green speed that allows a hole");
        const double s = tenths / 10;
        // Stopping is the only dear question, so a few of the flattest places stand for all.
        std::size_t asked = 0;
        for (const Place& place : places) {
            if (place.highest < s || ++asked > 50) break;
            if (judge_criteria(terrain, place.p, s, limits, false).fair) return s;
        }
    }
    return 0;
}

// Why no place is fair: the place that misses by least, by what, and the speed that would allow one.
std::string reason(const TerrainModel& terrain, const std::vector<HolePosition>& judged, double speed_ft, const HoleLimits& limits,
                   Progress& progress) {
    if (judged.empty()) return "no place is left on this green: the closed zones cover all of it";
    // What was judged of a place is an upper bound of its margin, since the rolling may be left out: best bound first.
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t k = 0; k < judged.size(); ++k) order.emplace_back(margin(tightest_of(judged[k])), k);
    std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    std::optional<HolePosition> closest;
    for (const auto& [bound, k] : order) {
        if (closest && margin(tightest_of(*closest)) >= bound) break;
        progress.step(0.8, "looking for the closest place");
        HolePosition whole = judge_criteria(terrain, judged[k].p, speed_ft, limits, true);
        if (!closest || margin(tightest_of(whole)) > margin(tightest_of(*closest))) closest = std::move(whole);
    }
    std::string out = fmt::format("no place is fair at {:.1f} ft; the closest, at ({:.1f}, {:.1f}), fails on {}: {}", speed_ft,
                                  closest->p.x, closest->p.y, tightest_of(*closest).name, tightest_of(*closest).sentence);
    if (const double s = speed_that_allows(terrain, judged, speed_ft, limits, progress); s > 0)
        out += fmt::format("; a green speed of {:.1f} ft would allow one", s);
    else
        out += fmt::format("; no green speed from {:.0f} ft up would allow one", kSlowestGreenFt);
    return out;
}

}  // namespace

HolePlan plan_holes(const TerrainModel& terrain, double green_speed_ft, int days, const std::vector<Vec2>& recent,
                    const std::vector<std::vector<Vec2>>& closed_zones, const HoleLimits& limits, Progress& progress) {
    check_hole_question(terrain, green_speed_ft, limits);
    if (days < 0 || days > 14) throw usage_error(fmt::format("{} days were asked for; 0 (today) to 14 are wanted", days));

    // Judge every candidate.
    const std::vector<Vec2> places = candidates_on(terrain, limits.spacing_m, closed_zones);
    std::vector<HolePosition> judged(places.size());
    for_all(places.size(), progress, 0, 0.7, "judging places",
            [&](std::size_t k) { judged[k] = judge_criteria(terrain, places[k], green_speed_ft, limits, false); });

    HolePlan plan;
    plan.candidates = places.size();
    std::vector<HolePosition> fair;
    for (HolePosition& h : judged)
        if (h.fair) {
            h.score = hole_score(h, 0);
            fair.push_back(h);
        }
    plan.fair = fair.size();
    plan.fair_area_m2 = static_cast<double>(fair.size()) * limits.spacing_m * limits.spacing_m;
    if (fair.empty()) {
        plan.why_none = reason(terrain, judged, green_speed_ft, limits, progress);
        return plan;
    }

    // A pool of places apart from one another; the holing window, which is dear, is worked out for these only.
    // For one day they keep clear of the recent holes; a rotation reaches beyond the week in which that counts.
    const GreenThirds thirds = green_thirds(terrain.outline);
    by_score(fair);
    if (days == 0) std::erase_if(fair, [&](const HolePosition& h) { return !far_from(recent, h.p, limits.apart_m); });
    std::vector<HolePosition> pool = days == 0 ? spread(fair, limits.apart_m, 2 * kBest, nullptr)
                                               : spread(fair, std::min(limits.apart_m, 1.5), kPool, &thirds);
    if (pool.empty()) {
        plan.why_none = fmt::format("{} places are fair, but each is nearer than {:.1f} m to a recent hole", plan.fair, limits.apart_m);
        return plan;
    }
    for (std::size_t begin = 0; begin < pool.size(); begin += 4) {
        progress.step(0.7 + 0.25 * static_cast<double>(begin) / static_cast<double>(pool.size()), "holing windows of the best");
        tbb::parallel_for(begin, std::min(pool.size(), begin + 4), [&](std::size_t k) {
            HolePosition& h = pool[k];
            const GroundRound ground = ground_round(terrain, h.p, limits.radius_m);
            h.score = hole_score(h, window_share(terrain, h.p, ground.downhill, green_speed_ft, limits.capture));
        });
    }
    by_score(pool);
    for (HolePosition& h : pool)
        h.why = fmt::format("{}: {:.1f} % slope, {:.1f} paces from the edge; nearest limit: {}", thirds.name(h.p), percent(h.slope),
                            h.edge_m / kPace, tightest_of(h).name);

    // Today: the best. A rotation: one a day.
    progress.step(0.95, "choosing");
    if (days == 0) {
        if (pool.size() > kBest) pool.resize(kBest);
        plan.positions = std::move(pool);
    } else {
        const std::vector<int> picks = rotate_holes(pool, thirds, days, recent, limits.apart_m);
        for (int day = 0; day < days; ++day) {
            if (picks[day] < 0) continue;
            plan.positions.push_back(pool[picks[day]]);
            plan.positions.back().day = std::to_string(day + 1);
        }
        if (const auto given = static_cast<int>(plan.positions.size()); given < days)
            plan.why_none = fmt::format("{} of {} days have a hole: on the other days no fair place is {:.1f} m from the holes of the "
                                        "seven days before", given, days, limits.apart_m);
    }
    progress.step(1, "done");
    return plan;
}

}  // namespace brae
