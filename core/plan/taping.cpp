#include "core/plan/taping.h"

#include "core/base/error.h"
#include "core/base/units.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

// What a tape can be: longer ones sag and stretch, and a reading beyond 100 m is a slip of the pen.
constexpr double kLongestReadingM = 100.0;
// Tapes that a person carries (common practice); plans stay within them.
constexpr double kCommonTapeM = 30.0;
// A mark nearer than this to the point gives no direction to measure along.
constexpr double kShortestTapeM = 0.05;
// A check that is off by more than this was misread, or a mark has moved.
constexpr double kLargestMisfitM = 0.03;
// One tape laid by hand on turf is wrong by about this (common practice).
constexpr double kTapeErrorM = 0.01;
// Tapes that meet flatter than this do not fix a place: the error is twice that of a square crossing.
constexpr double kFlattestCrossingDeg = 30.0;

void check_readings(const std::vector<TapeReading>& tapes) {
    for (const TapeReading& t : tapes) {
        if (!std::isfinite(t.metres) || t.metres <= 0)
            throw usage_error(fmt::format("the tape from {} reads {} m; a length above 0 m is wanted", t.from.name, t.metres));
        if (t.metres > kLongestReadingM)
            throw usage_error(fmt::format("the tape from {} reads {:.2f} m; at most {:.0f} m is wanted", t.from.name,
                                          t.metres, kLongestReadingM));
        if (!std::isfinite(t.from.p.x) || !std::isfinite(t.from.p.y))
            throw usage_error(fmt::format("the mark {} has no place", t.from.name));
    }
}

void check_marks_differ(const std::vector<TapeReading>& tapes) {
    for (std::size_t i = 0; i < tapes.size(); ++i)
        for (std::size_t k = i + 1; k < tapes.size(); ++k)
            if (distance(tapes[i].from.p, tapes[k].from.p) < kShortestTapeM)
                throw usage_error(fmt::format("the tapes from {} and {} start at the same place; two different marks are "
                                              "wanted", tapes[i].from.name, tapes[k].from.name));
}

double distance_from_square(double crossing_deg) { return std::abs(crossing_deg - 90.0); }

// By how much two tapes fail to meet, m: positive where the marks are too far apart for both together, negative where one
// is too long; 0 where they meet.
double miss_of(const TapeReading& a, const TapeReading& b) {
    const double d = distance(a.from.p, b.from.p);
    if (const double gap = d - a.metres - b.metres; gap > 0) return gap;
    return std::min(0.0, d - std::abs(a.metres - b.metres));
}

[[noreturn]] void refuse_pair(const TapeReading& a, const TapeReading& b) {
    const double d = distance(a.from.p, b.from.p), miss = miss_of(a, b);
    if (miss > 0)
        throw Error(fmt::format("the tapes from {} ({:.2f} m) and {} ({:.2f} m) do not meet: the marks are {:.2f} m apart, "
                                "{:.2f} m more than both tapes together", a.from.name, a.metres, b.from.name, b.metres, d, miss));
    throw Error(fmt::format("the tapes from {} ({:.2f} m) and {} ({:.2f} m) do not meet: one is {:.2f} m too long for "
                            "marks {:.2f} m apart", a.from.name, a.metres, b.from.name, b.metres, -miss, d));
}

// Both places where two circles meet: first the one on the left as one looks from a to b. Where they miss one another both
// are the point of the line nearest to both.
std::array<Vec2, 2> two_circles(const TapeReading& a, const TapeReading& b) {
    const Vec2 line = b.from.p - a.from.p;
    const double d = norm(line);
    const double along = (d * d + a.metres * a.metres - b.metres * b.metres) / (2 * d);
    const double across = std::sqrt(std::max(0.0, a.metres * a.metres - along * along));
    const Vec2 u = line / d, left = -right_of(u), foot = a.from.p + along * u;
    return {foot + across * left, foot - across * left};
}

// Normal matrix of the distances at p and the gradient of their misfits.
struct Normal { double xx = 0, xy = 0, yy = 0, gx = 0, gy = 0; };
Normal normal_at(const std::vector<TapeReading>& tapes, Vec2 p) {
    Normal n;
    for (const TapeReading& t : tapes) {
        const Vec2 d = p - t.from.p;
        const double length = std::max(norm(d), 1e-9);
        const Vec2 u = d / length;
        const double misfit = length - t.metres;
        n.xx += u.x * u.x, n.xy += u.x * u.y, n.yy += u.y * u.y;
        n.gx += u.x * misfit, n.gy += u.y * misfit;
    }
    return n;
}

// Gauss-Newton from a start that is already within the errors of the tapes.
Vec2 least_squares(const std::vector<TapeReading>& tapes, Vec2 p) {
    for (int i = 0; i < 30; ++i) {
        const Normal n = normal_at(tapes, p);
        const double det = n.xx * n.yy - n.xy * n.xy;
        if (det < 1e-9) break;
        const Vec2 step{-(n.yy * n.gx - n.xy * n.gy) / det, -(n.xx * n.gy - n.xy * n.gx) / det};
        p = p + step;
        if (norm(step) < 1e-10) break;
    }
    return p;
}

double largest_misfit(const std::vector<TapeReading>& tapes, Vec2 p, std::string* worst = nullptr) {
    double most = 0;
    for (const TapeReading& t : tapes)
        if (const double m = std::abs(distance(t.from.p, p) - t.metres); m >= most) {
            most = m;
            if (worst) *worst = t.from.name;
        }
    return most;
}

TapeSide side_of(const std::vector<TapeReading>& tapes, Vec2 p) {
    return cross(tapes[1].from.p - tapes[0].from.p, p - tapes[0].from.p) > 0 ? TapeSide::left : TapeSide::right;
}

}  // namespace

double crossing_deg(Vec2 a, Vec2 b, Vec2 p) {
    return degrees(std::atan2(std::abs(cross(a - p, b - p)), dot(a - p, b - p)));
}

bool crosses_well(double crossing) { return distance_from_square(crossing) <= 90.0 - kFlattestCrossingDeg; }

std::vector<Vec2> tape_crossings(const TapeReading& first, const TapeReading& second) {
    for (const TapeReading& t : {first, second})
        if (!std::isfinite(t.metres) || t.metres <= 0 || t.metres > kLongestReadingM) return {};
    if (distance(first.from.p, second.from.p) < kShortestTapeM || miss_of(first, second) != 0) return {};
    const auto both = two_circles(first, second);
    if (both[0] == both[1]) return {both[0]};
    return {both[0], both[1]};
}

TapeFix locate_by_tapes(const std::vector<TapeReading>& tapes, std::optional<TapeSide> side,
                        const std::vector<TapeReading>& checks, const std::vector<TapePoint>& known) {
    // Readings that mean nothing are refused before any geometry.
    if (tapes.size() < 2)
        throw usage_error(fmt::format("{} tape was given; at least two from different marks are wanted", tapes.size()));
    check_readings(tapes);
    check_readings(checks);
    check_marks_differ(tapes);

    // A check tells something new only from a mark that no tape starts at.
    for (const TapeReading& check : checks)
        for (const TapeReading& t : tapes)
            if (distance(check.from.p, t.from.p) < kShortestTapeM)
                throw usage_error(fmt::format("the check from {} starts at the mark of the tape from {}; a mark that is not yet "
                                              "taped from is wanted", check.from.name, t.from.name));

    // Start from the pair that crosses best, with both of its places; least squares over all tapes from each. A pair along
    // one line that misses by no more than a reading may be off gives no start, but is no reason to refuse the others.
    std::optional<std::array<Vec2, 2>> best;
    double flattest = 0;
    const TapeReading *worst_a = &tapes[0], *worst_b = &tapes[1];
    bool near = false;
    for (std::size_t i = 0; i < tapes.size(); ++i)
        for (std::size_t k = i + 1; k < tapes.size(); ++k) {
            const double miss = std::abs(miss_of(tapes[i], tapes[k]));
            near = near || miss <= kLargestMisfitM;
            if (miss > std::abs(miss_of(*worst_a, *worst_b))) worst_a = &tapes[i], worst_b = &tapes[k];
            if (miss > 0) continue;
            const auto pair = two_circles(tapes[i], tapes[k]);
            const double off = distance_from_square(crossing_deg(tapes[i].from.p, tapes[k].from.p, pair[0]));
            if (best && off >= flattest) continue;
            best = pair;
            flattest = off;
        }
    if (!near) refuse_pair(*worst_a, *worst_b);
    const std::array<Vec2, 2> starts = best ? *best : two_circles(tapes[0], tapes[1]);
    const std::array<Vec2, 2> places = {least_squares(tapes, starts[0]), least_squares(tapes, starts[1])};

    // Which of the two: the side where it was given, else what the further tapes and checks say.
    std::vector<TapeReading> witnesses = checks;
    if (tapes.size() > 2) witnesses.insert(witnesses.end(), tapes.begin(), tapes.end());
    const std::array<double, 2> misfit = {largest_misfit(witnesses, places[0]), largest_misfit(witnesses, places[1])};
    std::size_t chosen = misfit[1] < misfit[0] ? 1 : 0;
    // A place on the line of the first two marks is on neither side of it.
    const Vec2 across = unit(right_of(tapes[1].from.p - tapes[0].from.p));
    const bool on_line = std::abs(dot(places[chosen] - tapes[0].from.p, across)) <= kLargestMisfitM;
    if (side) {
        if (!on_line) chosen = side_of(tapes, places[0]) == *side ? 0 : 1;
    } else if (witnesses.empty() ||
               (std::max(misfit[0], misfit[1]) <= kLargestMisfitM && distance(places[0], places[1]) > kLargestMisfitM)) {
        throw usage_error(fmt::format("the tapes from {} and {} meet in two places, ({:.2f}, {:.2f}) and ({:.2f}, {:.2f}); a "
                                      "side or a check from another mark is wanted",
                                      tapes[0].from.name, tapes[1].from.name, places[0].x, places[0].y, places[1].x,
                                      places[1].y));
    }
    TapeFix fix;
    fix.p = places[chosen];

    // How well they cross: the best pair at the place found.
    fix.crossing_deg = 0;
    for (std::size_t i = 0; i < tapes.size(); ++i)
        for (std::size_t k = i + 1; k < tapes.size(); ++k) {
            const double c = crossing_deg(tapes[i].from.p, tapes[k].from.p, fix.p);
            if ((i == 0 && k == 1) || distance_from_square(c) < distance_from_square(fix.crossing_deg)) fix.crossing_deg = c;
        }
    if (!crosses_well(fix.crossing_deg)) {
        std::string advice = "choose another pair of marks";
        if (const auto plan = plan_tapes(known, fix.p))
            advice = fmt::format("measure from {} and {}, which cross at {:.0f} degrees there", plan->first.from.name,
                                 plan->second.from.name, plan->crossing_deg);
        else if (!known.empty())
            advice = "no pair of marks crosses better there, and another mark is needed";
        throw Error(fmt::format("the tapes from {} and {} cross at {:.0f} degrees; between {:.0f} and {:.0f} is wanted, so {}",
                                tapes[0].from.name, tapes[1].from.name, fix.crossing_deg, kFlattestCrossingDeg,
                                180 - kFlattestCrossingDeg, advice));
    }

    // Error of the place when each tape is wrong by 1 cm: the trace of the inverse normal matrix (derived; two tapes
    // give sqrt(2) / sin(crossing) cm).
    const Normal n = normal_at(tapes, fix.p);
    fix.se_m = kTapeErrorM * std::sqrt((n.xx + n.yy) / (n.xx * n.yy - n.xy * n.xy));

    // The checks have the last word.
    if (!witnesses.empty()) {
        std::string worst;
        fix.residual_m = largest_misfit(witnesses, fix.p, &worst);
        if (*fix.residual_m > kLargestMisfitM) {
            const bool other_fits = side && misfit[1 - chosen] <= kLargestMisfitM;
            throw Error(fmt::format("measure again: the tapes disagree, that from {} by {:.1f} cm where at most {:.0f} cm is wanted; any one of them may be the wrong one{}", worst,
                                    100 * *fix.residual_m, 100 * kLargestMisfitM,
                                    other_fits ? "; the place on the other side fits, so look at the side again" : ""));
        }
    }
    return fix;
}

std::optional<TapePlan> plan_tapes(const std::vector<TapePoint>& known, Vec2 p) {
    // Marks within reach.
    std::vector<TapePoint> near;
    for (const TapePoint& k : known)
        if (const double d = distance(k.p, p); d >= kShortestTapeM && d <= kCommonTapeM) near.push_back(k);

    // The pair that crosses nearest to square; the shorter tapes where two cross alike.
    std::optional<TapePlan> best;
    std::size_t first = 0, second = 0;
    for (std::size_t i = 0; i < near.size(); ++i)
        for (std::size_t k = i + 1; k < near.size(); ++k) {
            const double crossing = crossing_deg(near[i].p, near[k].p, p);
            if (!crosses_well(crossing)) continue;
            TapePlan plan;
            plan.first = {near[i], distance(near[i].p, p)};
            plan.second = {near[k], distance(near[k].p, p)};
            plan.side = side_of({plan.first, plan.second}, p);
            plan.crossing_deg = crossing;
            plan.se_m = kTapeErrorM * std::sqrt(2.0) / std::sin(radians(crossing));
            const auto cost = [](const TapePlan& t) { return distance_from_square(t.crossing_deg); };
            const auto length = [](const TapePlan& t) { return t.first.metres + t.second.metres; };
            if (!best || cost(plan) < cost(*best) - 1e-9 ||
                (cost(plan) < cost(*best) + 1e-9 && length(plan) < length(*best))) {
                best = plan;
                first = i;
                second = k;
            }
        }
    if (!best) return best;

    // The check comes from the mark that tells the place from its mirror image best.
    const Vec2 line = unit(near[second].p - near[first].p);
    const Vec2 foot = near[first].p + dot(p - near[first].p, line) * line, mirror = 2.0 * foot - p;
    double most = -1;
    for (std::size_t i = 0; i < near.size(); ++i) {
        if (i == first || i == second) continue;
        const double tells = std::abs(distance(near[i].p, mirror) - distance(near[i].p, p));
        if (tells > most) {
            most = tells;
            best->check = TapeReading{near[i], distance(near[i].p, p)};
        }
    }
    return best;
}

}  // namespace brae
