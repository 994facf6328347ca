#include "core/plan/lesson_search.h"

#include "core/base/units.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace brae {

namespace {

constexpr int kRing = 72;                  // spots looked at on one distance: every 5 degrees
constexpr double kFallLineSlope = 0.005;   // less than this is level, not uphill or downhill
constexpr double kSmallestStepM = 0.04;    // breaks that differ by less look alike
constexpr double kSmallestPairM = 0.05;    // a break worth reading from both hands
constexpr double kSmallestGapM = 0.02;     // markers nearer than this stand in one another's way
constexpr double kRoughSpotM = 0.05;       // by so much the exact spot may lie beside the interpolated one
constexpr double kWidestShare = 0.4;       // of the distance: a larger break is no lesson in a ladder

double largest_break(const std::vector<SpotRead>& ring) {
    double most = 0;
    for (const SpotRead& s : ring)
        if (s.good()) most = std::max(most, std::abs(s.offset_m));
    return most;
}

bool clear_of(const std::vector<SpotRead>& taken, const SpotRead& s) {
    return std::all_of(taken.begin(), taken.end(), [&](const SpotRead& t) { return distance(t.ball, s.ball) >= kBetweenBallsM + kRoughSpotM; });
}

// One spot for each target, no two in each other's way, with the least unrest in all. Tries every choice; a target
// has at most a handful of options.
struct Picker {
    const std::vector<std::vector<SpotRead>>& options;
    std::vector<SpotRead> taken, best;
    double cost = 0, least = 1e9;

    void pick(std::size_t k) {
        if (cost >= least) return;
        if (k == options.size()) {
            least = cost;
            best = taken;
            return;
        }
        for (const SpotRead& s : options[k]) {
            if (!clear_of(taken, s)) continue;
            taken.push_back(s);
            cost += s.unrest();
            pick(k + 1);
            cost -= s.unrest();
            taken.pop_back();
        }
    }
};

std::vector<SpotRead> pick_apart(const std::vector<std::vector<SpotRead>>& options) {
    Picker picker{options, {}, {}};
    picker.pick(0);
    return picker.best;
}

// Why spots of a ring were left out, in words.
std::string faults(const std::vector<SpotRead>& spots) {
    std::array<int, 6> count{};
    for (const SpotRead& s : spots) ++count[static_cast<std::size_t>(s.fault)];
    std::string out;
    const auto add = [&](SpotFault fault, const char* text) {
        if (const int n = count[static_cast<std::size_t>(fault)]; n > 0)
            out += fmt::format("{}{} {}", out.empty() ? "" : ", ", n, text);
    };
    add(SpotFault::edge, "off the green or within 0.6 m of its edge");
    add(SpotFault::zone, "in a closed zone");
    add(SpotFault::other_hole, "within 1 m of another hole");
    add(SpotFault::no_read, "without a putt that can be aimed");
    add(SpotFault::shaky, "where half a foot of green speed changes the break too much");
    return out;
}

}  // namespace

Choice choose_fall_line(const SpotReader& reader, const StationRequest& request) {
    // Straight putts start where the offset is nothing; of several the one along the steepest slope.
    const auto straight = [&](double metres, bool uphill) -> std::optional<SpotRead> {
        std::optional<SpotRead> best;
        for (const SpotRead& rough : where_offset_is(reader.ring(metres, kRing), request.hole, metres, 0.0)) {
            const SpotRead s = reader.refine(rough, metres, 0.0);
            if (!s.good()) continue;
            const double rise = uphill ? s.slope_along : -s.slope_along;
            if (rise < kFallLineSlope) continue;
            if (!best || rise > std::abs(best->slope_along) + 1e-6) best = s;
        }
        return best;
    };
    Choice choice;
    std::string none;
    for (const bool uphill : {true, false}) {
        const char* way = uphill ? "uphill" : "downhill";
        std::optional<SpotRead> near, far;
        for (const double metres : {2.0, 1.5, 2.5}) if (!near) near = straight(metres, uphill);
        for (const double metres : {3.5, 4.0, 3.0}) if (!far) far = straight(metres, uphill);
        if (near && far && distance(near->ball, far->ball) < kBetweenBallsM) far.reset();
        if (near) choice.spots.push_back({near->ball, request.past_m, fmt::format("straight {}", way)});
        if (far)
            choice.spots.push_back({far->ball, request.past_m,
                                    fmt::format("straight {}{}", way, near ? ", on the line of the shorter one: one player at a time" : "")});
        if (!near && !far) none += fmt::format("{}{}", none.empty() ? "" : " and no straight ", way);
    }
    if (!none.empty())
        choice.missing = fmt::format("round this hole there is no straight {} putt of 1.5 to 4 m on a slope of {:.1f} % or more", none,
                                     percent(kFallLineSlope));
    return choice;
}

namespace {

// The ladder of so many steps at one distance whose steps are largest; empty where none keeps the balls apart.
std::vector<SpotRead> best_ladder(const SpotReader& reader, const std::vector<SpotRead>& ring, Vec2 hole, double metres, int steps) {
    struct Rungs { double step, first, hand; };
    std::vector<Rungs> wanted;
    for (const double hand : {1.0, -1.0}) {
        double most = 0;
        for (const SpotRead& s : ring)
            if (s.good()) most = std::max(most, hand * s.offset_m);
        most = std::min(most, kWidestShare * metres);
        // Breaks of first x step, then one step more each; the top is a share of the largest there is.
        for (const double share : {0.97, 0.9, 0.8, 0.7, 0.6})
            for (const double first : {0.5, 1.0})
                if (const double step = share * most / (steps - 1 + first); step >= kSmallestStepM) wanted.push_back({step, first, hand});
    }
    std::stable_sort(wanted.begin(), wanted.end(), [](const Rungs& a, const Rungs& b) { return a.step > b.step; });
    for (const Rungs& r : wanted) {
        std::vector<std::vector<SpotRead>> options;
        for (int k = 0; k < steps; ++k) options.push_back(where_offset_is(ring, hole, metres, r.hand * r.step * (k + r.first)));
        std::vector<SpotRead> picked = pick_apart(options);
        for (std::size_t k = 0; k < picked.size(); ++k)
            picked[k] = reader.refine(picked[k], metres, r.hand * r.step * (static_cast<double>(k) + r.first));
        const auto good = [](const SpotRead& s) { return s.good(); };
        if (!picked.empty() && std::all_of(picked.begin(), picked.end(), good)) return picked;
    }
    return {};
}

}  // namespace

Choice choose_ladder(const SpotReader& reader, const StationRequest& request) {
    // Five or four steps at the distance nearest to 3 m that gives them; fewer steps only where no distance does.
    const std::array<double, 5> distances = {3.0, 2.5, 3.5, 2.0, 4.0};
    std::array<std::vector<SpotRead>, 5> rings;
    const auto search = [&](std::initializer_list<int> counts) {
        for (std::size_t d = 0; d < distances.size(); ++d) {
            if (rings[d].empty()) rings[d] = reader.ring(distances[d], kRing);
            for (const int steps : counts)
                if (auto found = best_ladder(reader, rings[d], request.hole, distances[d], steps); !found.empty()) return found;
        }
        return std::vector<SpotRead>{};
    };
    std::vector<SpotRead> found = search({5, 4});
    if (found.empty()) found = search({3, 2});
    Choice choice;
    for (const SpotRead& s : found) choice.spots.push_back({s.ball, request.past_m, ""});
    if (choice.spots.size() < 4) {
        const double most = largest_break(rings[0]);
        const std::string left_out = faults(rings[0]).empty() ? "" : fmt::format("; of {} spots {}", kRing, faults(rings[0]));
        choice.missing = most < 4 * kSmallestStepM
            ? fmt::format("a ladder wants at least four breaks in steps of {:.0f} cm, and round this hole at {:.1f} ft the largest steady "
                          "break at 3 m is {:.0f} cm{}", 100 * kSmallestStepM, request.green_speed_ft, 100 * most, left_out)
            : fmt::format("round this hole at {:.1f} ft no four spots at one distance, {:.1f} m apart, have breaks that rise in equal "
                          "steps{}", request.green_speed_ft, kBetweenBallsM, left_out);
    }
    return choice;
}

Choice choose_both_hands(const SpotReader& reader, const StationRequest& request) {
    Choice choice;
    double largest = 0;
    for (const double metres : {3.0, 2.5, 3.5, 2.0}) {
        const auto ring = reader.ring(metres, kRing);
        double right = 0, left = 0;
        for (const SpotRead& s : ring)
            if (s.good()) right = std::max(right, s.offset_m), left = std::max(left, -s.offset_m);
        const double both = std::min({right, left, kWidestShare * metres});
        largest = std::max(largest, both);

        // A large break and one of about half, each from both hands; like slopes along the line where there is a choice.
        std::vector<SpotRead> taken;
        const auto add_pair = [&](double size) {
            if (size < kSmallestPairM) return false;
            std::optional<std::pair<SpotRead, SpotRead>> best;
            double least = 1e9;
            for (const SpotRead& a : where_offset_is(ring, request.hole, metres, -size))
                for (const SpotRead& b : where_offset_is(ring, request.hole, metres, size)) {
                    if (!clear_of({a}, b) || !clear_of(taken, a) || !clear_of(taken, b)) continue;
                    const double cost = 20 * std::abs(a.slope_along - b.slope_along) + a.unrest() + b.unrest();
                    if (cost < least) {
                        least = cost;
                        best = {a, b};
                    }
                }
            if (!best) return false;
            const SpotRead a = reader.refine(best->first, metres, -size), b = reader.refine(best->second, metres, size);
            if (!a.good() || !b.good()) return false;
            taken.push_back(a);
            taken.push_back(b);
            return true;
        };
        bool first = false, second = false;
        for (const double share : {0.9, 0.75, 0.6}) if (!first) first = add_pair(share * both);
        if (first)
            for (const double share : {0.45, 0.35, 0.5, 0.3}) if (!second) second = add_pair(share * both);
        if (!first) continue;
        for (const SpotRead& s : taken) choice.spots.push_back({s.ball, request.past_m, ""});
        return choice;
    }
    choice.missing = fmt::format("round this hole at {:.1f} ft no break of {:.0f} cm or more is there from both hands at one distance; the "
                                 "largest is {:.0f} cm", request.green_speed_ft, 100 * kSmallestPairM, 100 * largest);
    return choice;
}

Choice choose_ring(const SpotReader& reader, const StationRequest& request) {
    // The first distance at which all eight can be had; turned so that they are as steady as can be.
    Choice choice;
    std::vector<SpotRead> best, best_all;
    for (const double metres : {2.0, 2.5, 1.75, 1.6, 3.0}) {
        const auto ring = reader.ring(metres, kRing);
        double least = 1e9;
        std::vector<SpotRead> here, here_all;
        for (int turn = 0; turn < kRing / 8; ++turn) {
            std::vector<SpotRead> spots, all;
            double cost = 0;
            for (int k = 0; k < 8; ++k) {
                const SpotRead& s = ring[turn + k * kRing / 8];
                all.push_back(s);
                if (!s.good()) continue;
                spots.push_back(s);
                cost += s.unrest();
            }
            if (spots.size() > here.size() || (spots.size() == here.size() && cost < least)) {
                here = spots;
                here_all = all;
                least = cost;
            }
        }
        if (here.size() > best.size()) {
            best = here;
            best_all = here_all;
        }
        if (best.size() == 8) break;
    }
    for (const SpotRead& s : best) choice.spots.push_back({s.ball, request.past_m, ""});
    if (best.size() < 8)
        choice.missing = fmt::format("the ring has {} of 8 spots round this hole: {}", best.size(),
                                     best_all.empty() ? faults(reader.ring(2.0, 8)) : faults(best_all));
    return choice;
}

Choice choose_three_paces(const SpotReader& dead, const SpotReader& usual, const SpotReader& firm) {
    // The spot whose three markers stand farthest apart, less for a spot where the break is not steady.
    Choice choice;
    double best = 0, widest = 0;
    for (const double metres : {2.5, 3.0, 2.0}) {
        const auto slow = dead.ring(metres, kRing), mid = usual.ring(metres, kRing), fast = firm.ring(metres, kRing);
        for (int k = 0; k < kRing; ++k) {
            if (!slow[k].good() || !mid[k].good() || !fast[k].good()) continue;
            const double a = std::abs(slow[k].offset_m) - std::abs(mid[k].offset_m);
            const double b = std::abs(mid[k].offset_m) - std::abs(fast[k].offset_m);
            const double gap = std::min(a, b);
            widest = std::max(widest, gap);
            if (gap < kSmallestGapM) continue;
            const double worth = std::min(gap, 0.10) * (1 - std::min(0.9, slow[k].unrest() + mid[k].unrest()));
            if (worth <= best + 1e-9) continue;
            best = worth;
            choice.spots = {{mid[k].ball, kDeadWeightPastM, "dead weight"},
                            {mid[k].ball, kUsualPastM, "usual pace"},
                            {mid[k].ball, kFirmPastM, "firm"}};
        }
        if (!choice.spots.empty()) break;
    }
    if (choice.spots.empty())
        choice.missing = fmt::format("round this hole the three paces aim at most {:.1f} cm apart, and their markers want {:.0f} cm",
                                     100 * widest, 100 * kSmallestGapM);
    return choice;
}

}  // namespace brae
