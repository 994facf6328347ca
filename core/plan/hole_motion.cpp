#include "core/plan/hole_motion.h"

#include "core/base/units.h"
#include "core/plan/hole_criteria.h"
#include "core/roll/green_speed.h"
#include "core/roll/run_roll.h"
#include "core/solve/green_reads.h"
#include "core/solve/quadrature.h"
#include "core/solve/roll_batch.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numbers>
#include <tbb/task_arena.h>

namespace brae {

namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr int kBearings = 36;              // of the table of balls that roll on from the hole
constexpr int kPaces = 5;
constexpr int kUsual = 1;                  // of kHolePaces
constexpr double kRollTolerance = 1e-3;    // 0.5 mm of rest but where a ball hardly rests; docs/solver.md
constexpr double kRunOnTolerance = 1e-6;   // of the few that decide who stops, right where a ball hardly rests too
constexpr double kRollSeconds = 40;        // a ball that creeps on after that does not stop
constexpr double kNode = std::numbers::sqrt3;   // sigmas at which a putt's errors are rolled
constexpr double kLostPutts = 3;           // from a spot at which no pace is any good
constexpr double kNearWindow = 0.95, kFarWindow = 2.05;   // m; ball spots 1 to 2 m away on their lattice

// Nodes and weights for a standard normal error (Gauss and Hermite; M. Abramowitz and I. Stegun 1964, 25.4.46, scaled).
constexpr std::array<double, 5> kFiveAt{-2.85697001387, -1.35562617997, 0, 1.35562617997, 2.85697001387};
constexpr std::array<double, 5> kFiveWeight{0.0112574113277, 0.222075922006, 0.533333333333, 0.222075922006, 0.0112574113277};

// Where balls that rolled over the covered hole's centre stop, by bearing of travel, at one pace.
struct RunOn {
    bool known = false;
    std::array<Vec2, kBearings> stop;
    std::array<double, kBearings> from_hole{};   // infinite where it leaves the green
};

struct OnSpot {
    bool judged = false;                   // on the green, holds a ball, not over the hole
    bool stops = false;                    // some pace stops within the limit
    int slowest = -1;                      // least pace with a solution
    bool too_long = false;                 // had solutions, none stopped
    Vec2 direction;                        // of the slowest
    double launch = 0;
};

}  // namespace

LevelPutts::LevelPutts(const LaunchErrors& errors, double green_speed_ft) : errors_(errors) {
    // Evenly in distance, 5 cm apart; look-ups are many.
    const LevelPlayer player(errors, green_speed_ft, kUsualPastM);
    for (int k = 0; k <= 600; ++k) {
        const double d = 0.05 * k, first = k == 0 ? 1 : player.within_one(d), second = k == 0 ? 1 : player.within_two(d);
        expected_.push_back(1 + (1 - first) + (1 - second));
    }
    // Widest offset taken, every 2 cm/s.
    const double decel = level_deceleration(green_speed_ft);
    for (int k = 0; k <= 120; ++k) {
        double low = 0, high = kHoleRadius;
        const auto taken = [&](double offset) { return capture(errors.capture, {offset, 0.02 * k, 0, 0, decel}) == Capture::drops; };
        if (!taken(0)) high = 0;
        for (int n = 0; n < 40 && high > 0; ++n) {
            const double mid = (low + high) / 2;
            (taken(mid) ? low : high) = mid;
        }
        half_width_.push_back(low);
    }
}

namespace {

double in_table(const std::vector<double>& table, double at) {
    if (!(at < static_cast<double>(table.size() - 1))) return table.back();
    const auto k = static_cast<std::size_t>(std::max(at, 0.0));
    return table[k] + (std::max(at, 0.0) - static_cast<double>(k)) * (table[k + 1] - table[k]);
}

}  // namespace

double LevelPutts::expected(double distance_m) const { return in_table(expected_, distance_m / 0.05); }
double LevelPutts::half_width(double speed_mps) const { return in_table(half_width_, speed_mps / 0.02); }
double LevelPutts::longest(double putts) const {
    std::size_t k = 0;
    while (k + 1 < expected_.size() && expected_[k + 1] <= putts) ++k;
    return k + 1 == expected_.size() ? kInfinite : 0.05 * static_cast<double>(k);
}

struct HoleMotion::State {
    const HoleGround& ground;
    const HeightField& surface;
    const Outline& outline;
    const HoleLimits limits;
    double speed_ft, level_decel;
    const LevelPutts& level;
    GreenReader reader;
    RollBatch batch, run_on_batch;
    Raster layout;                          // of the spots, once known
    std::vector<unsigned char> rests;       // spots that hold a ball

    // Of the hole that is judged.
    Vec2 hole;
    MotionFacts facts;
    std::array<RunOn, kPaces> run_on;
    std::vector<OnSpot> spots;
    struct Usual { Vec2 direction; double launch = 0, entry = 0; bool solved = false; };
    std::vector<Usual> usual;               // the slowest solution at the usual pace
    std::vector<Vec2> dead_direction;       // at dead weight, with its launch
    std::vector<double> dead_launch;
    std::vector<BatchLaunch> launches;
    std::vector<HoleMotion::Fate> fates;

    State(const HoleGround& g, double s, const LevelPutts& l)
        : ground(g), surface(*g.terrain().surface), outline(g.terrain().outline), limits(g.limits()), speed_ft(s),
          level_decel(level_deceleration(s)), level(l),
          reader(surface, outline, {limits.spot_spacing_m, false, true}), batch(surface, outline, s, kRollTolerance, kRollSeconds),
          run_on_batch(surface, outline, s, kRunOnTolerance, kRollSeconds) {}

    Vec2 place(std::size_t k) const { return layout.centre(static_cast<int>(k) % layout.columns, static_cast<int>(k) / layout.columns); }
    // Every n-th spot each way.
    bool every(int n, std::size_t k) const { return (static_cast<int>(k) % layout.columns) % n == 0 && (static_cast<int>(k) / layout.columns) % n == 0; }

    void know_spots(const GreenReads& reads);
    const RunOn& roll_on(int pace);
    double stop_distance(int pace, double entry_deg) { return at_bearing(roll_on(pace).from_hole, entry_deg); }
    template <class T>
    static T at_bearing(const std::array<T, kBearings>& table, double bearing) {
        const double at = bearing * kBearings / 360;
        const int k = static_cast<int>(at);
        const double f = at - k;
        if (f == 0) return table[k % kBearings];
        return (1 - f) * table[k % kBearings] + f * table[(k + 1) % kBearings];
    }
    void read(int pace, const Progress& progress);
    bool any_left(bool too_long) const;
    void stopping(const Progress& progress);
    void from_above();
    void putts();
    void windows();
};

void HoleMotion::State::know_spots(const GreenReads& reads) {
    if (layout.columns > 0) return;
    layout = reads.launch_mps;
    rests.assign(layout.values.size(), 0);
    for (std::size_t k = 0; k < rests.size(); ++k) {
        if (std::isnan(reads.solutions.values[k])) continue;
        const SurfaceJet jet = surface.jet(place(k).x, place(k).y);
        rests[k] = roll_ratio(std::hypot(jet.hx, jet.hy), speed_ft) < 1;
    }
}

// Balls over the covered hole at one pace, all round.
const RunOn& HoleMotion::State::roll_on(int pace) {
    RunOn& on = run_on[pace];
    if (on.known) return on;
    std::vector<BatchLaunch> balls;
    for (int k = 0; k < kBearings; ++k) balls.push_back({hole, direction_of_bearing(360.0 * k / kBearings), speed_at_hole(kHolePaces[pace], speed_ft)});
    const auto& rest = run_on_batch.run(balls);
    facts.rolls += balls.size();
    for (int k = 0; k < kBearings; ++k) {
        on.stop[k] = rest[k].at;
        on.from_hole[k] = rest[k].end == RollEnd::stopped ? distance(rest[k].at, hole) : kInfinite;
    }
    on.known = true;
    return on;
}

// One family: what it adds to each spot.
void HoleMotion::State::read(int pace, const Progress& progress) {
    // Says nothing of how far it is, and stops where the whole is to stop.
    Progress quiet([&](double, const std::string&) { progress.check(); });
    const GreenReads* reads = nullptr;
    // Inside this call the thread takes no other place's work, so that the reader is never entered twice.
    tbb::this_task_arena::isolate([&] { reads = &reader.read({hole, speed_ft, kHolePaces[pace]}, quiet); });
    ++facts.paces;
    know_spots(*reads);
    if (spots.empty()) {
        spots.assign(rests.size(), {});
        usual.assign(rests.size(), {});
        dead_direction.assign(rests.size(), {});
        dead_launch.assign(rests.size(), 0);
        for (std::size_t k = 0; k < spots.size(); ++k) spots[k].judged = rests[k] && distance(place(k), hole) > 2 * kHoleRadius;
    }
    std::size_t last = std::numeric_limits<std::size_t>::max();
    for (const SpotSolution& s : reads->all) {
        OnSpot& spot = spots[s.spot];
        if (!spot.judged) continue;
        const bool slowest_here = s.spot != last;   // solutions come by launch speed
        last = s.spot;
        if (stop_distance(pace, s.entry_bearing_deg) <= limits.stop_within_m) spot.stops = true;
        else spot.too_long = true;
        if (!slowest_here) continue;
        if (spot.slowest < 0 || kHolePaces[pace] < kHolePaces[spot.slowest]) {
            spot.slowest = pace;
            spot.direction = s.direction;
            spot.launch = s.launch_mps;
        }
        if (pace == kUsual) usual[s.spot] = {s.direction, s.launch_mps, s.entry_bearing_deg, true};
        if (pace == 0) dead_direction[s.spot] = s.direction, dead_launch[s.spot] = s.launch_mps;
    }
}

// Are there spots without a stop that another pace may help: slower ones where a ball ran too long, faster ones where none came?
bool HoleMotion::State::any_left(bool too_long) const {
    for (std::size_t k = 0; k < spots.size(); ++k) {
        const OnSpot& s = spots[k];
        if (!s.judged || s.stops) continue;
        if (too_long ? s.too_long : !s.too_long && s.slowest < 0 && ground.runs_away(place(k), hole, speed_ft)) return true;
    }
    return false;
}

void HoleMotion::State::stopping(const Progress& progress) {
    read(0, progress);
    read(kUsual, progress);
    if (any_left(true)) read(2, progress);
    for (const int pace : {3, 4})
        if (any_left(false)) read(pace, progress);

    fates.assign(spots.size(), Fate::none);
    double nearest = kInfinite;
    for (std::size_t k = 0; k < spots.size(); ++k) {
        const OnSpot& s = spots[k];
        if (!s.judged) continue;
        ++facts.spots;
        if (s.stops) {
            fates[k] = Fate::stops;
            ++facts.stoppable;
        } else if (s.too_long || ground.runs_away(place(k), hole, speed_ft)) {
            fates[k] = Fate::lost;
            ++facts.lost;
            if (distance(place(k), hole) < nearest) nearest = distance(place(k), hole), facts.lost_spot = place(k);
        } else {
            fates[k] = Fate::blocked;
            ++facts.blocked;
        }
    }
    const double counted = static_cast<double>(facts.stoppable + facts.lost);
    facts.stoppable_share = counted > 0 ? static_cast<double>(facts.stoppable) / counted : 0;
}

void HoleMotion::State::from_above() {
    const SurfaceJet jet = surface.jet(hole.x, hole.y);
    const double slope = std::hypot(jet.hx, jet.hy);
    if (slope < 1e-6) return;
    const Vec2 downhill{-jet.hx / slope, -jet.hy / slope};
    launches.clear();
    std::vector<std::size_t> which;
    for (std::size_t k = 0; k < spots.size(); ++k) {
        const OnSpot& s = spots[k];
        if (!s.judged || !every(kAboveEvery, k)) continue;
        const Vec2 ball = place(k), line = hole - ball;
        const double away = norm(line);
        if (away < 0.3 || dot(line, downhill) < away * std::numbers::sqrt2 / 2) continue;
        if (s.slowest < 0) {
            // No pace up to a metre reaches the hole: nothing keeps the ball.
            if (fates[k] == Fate::lost) ++facts.above, facts.run_past_m = kInfinite, facts.run_past_spot = ball;
            continue;
        }
        ++facts.above;
        for (const double side : {-1.0, 1.0}) {
            // The aim moves by a hole radius on the line through the hole square to the putt.
            const Vec2 u = line / away, right = right_of(u);
            const double ahead = dot(s.direction, u);
            Vec2 d = s.direction + (side * kHoleRadius / away) * right_of(s.direction);
            if (ahead > 0.2) d = u + (dot(s.direction, right) / ahead + side * kHoleRadius / away) * right;
            launches.push_back({ball, d, s.launch});
            which.push_back(k);
        }
    }
    const auto& rest = batch.run(launches);
    facts.rolls += rest.size();
    for (std::size_t n = 0; n < rest.size(); ++n) {
        const Vec2 ball = place(which[n]);
        if (dot(rest[n].at - hole, hole - ball) <= 0) continue;   // it ended before the hole
        const double past = rest[n].end == RollEnd::stopped ? distance(rest[n].at, hole) : kInfinite;
        if (past > facts.run_past_m) facts.run_past_m = past, facts.run_past_spot = ball;
    }
}

void HoleMotion::State::putts() {
    const LaunchErrors& e = level.errors();
    const double turn = kNode * e.turn, push = kNode * e.push_rel, longest = level.longest(limits.easy_putts);
    launches.clear();
    std::vector<std::size_t> which;
    std::size_t easy = 0, easy_on_level = 0;
    double sum = 0;
    for (std::size_t k = 0; k < spots.size(); ++k) {
        if (!spots[k].judged || !every(kPuttsEvery, k)) continue;
        const bool lost = fates[k] == Fate::lost;
        if (!usual[k].solved && !lost) continue;   // blocked, or another pace only
        ++facts.putted;
        easy_on_level += distance(place(k), hole) <= longest;
        if (!usual[k].solved) {
            sum += kLostPutts;
            continue;
        }
        const Usual& u = usual[k];
        const Vec2 ball = place(k), side = right_of(u.direction);
        for (const double z : {-turn, turn}) launches.push_back({ball, std::cos(z) * u.direction + std::sin(z) * side, u.launch});
        for (const double z : {-push, push}) launches.push_back({ball, u.direction, std::max(u.launch * (1 + z), 0.02)});
        which.push_back(k);
    }
    const auto& rest = batch.run(launches);
    facts.rolls += rest.size();

    const RunOn& on = roll_on(kUsual);
    const double hole2 = std::pow(speed_at_hole(kUsualPastM, speed_ft), 2);
    for (std::size_t n = 0; n < which.size(); ++n) {
        const std::size_t k = which[n];
        const Usual& u = usual[k];
        const double away = distance(place(k), hole);
        const BatchRest* r = &rest[4 * n];

        // Where the ball stops, as a parabola in each error, the middle from the table.
        const Vec2 middle = at_bearing(on.stop, u.entry) - hole;
        const auto parabola = [&](Vec2 low, Vec2 high) { return std::pair{(high - low) / (2 * kNode), (high + low - 2 * middle) / (2 * kNode * kNode)}; };
        const auto [turn1, turn2] = parabola(r[0].at - hole, r[1].at - hole);
        const auto [push1, push2] = parabola(r[2].at - hole, r[3].at - hole);
        double after = 0;
        for (int a = 0; a < 5; ++a) {
            const Vec2 by_turn = middle + kFiveAt[a] * turn1 + kFiveAt[a] * kFiveAt[a] * turn2;
            for (int b = 0; b < 5; ++b) {
                const Vec2 stop = by_turn + kFiveAt[b] * push1 + kFiveAt[b] * kFiveAt[b] * push2;
                after += kFiveWeight[a] * kFiveWeight[b] * level.expected(norm(stop));
            }
        }

        // The first putt: how far from the centre a turn of one sigma passes, by the share of its way up to the hole; the
        // direction that a harder putt asks for, from dead weight; the speed at the hole from the launch's energy.
        const double across = norm(turn1) * away / (away + norm(middle));
        const double by_launch = dead_launch[k] > 0 && std::abs(u.launch - dead_launch[k]) > 1e-6
                                     ? std::asin(std::clamp(cross(u.direction, dead_direction[k]), -1.0, 1.0)) / (dead_launch[k] - u.launch)
                                     : 0;
        double chance = 0;
        const auto& rule = gauss_rule<12>();
        for (std::size_t i = 0; i < rule.x.size(); ++i) {
            const double z = 3.5 * rule.x[i], v = u.launch * (1 + e.bias_rel + z * e.push_rel);
            const double at_hole2 = hole2 + v * v - u.launch * u.launch;
            if (at_hole2 < -2 * level_decel * kHoleRadius) continue;
            const double half = level.half_width(std::sqrt(std::max(at_hole2, 0.0)));
            const double meant = -by_launch * (v - u.launch) / e.turn;   // sigmas by which the line for this speed differs, to the right
            const double lean = e.lean / e.turn;
            chance += 3.5 * rule.w[i] * normal_density(z) * normal_between(meant - half / across - lean, meant + half / across - lean);
        }
        const double putts = 1 + (1 - std::min(chance, 1.0)) * after;
        sum += putts;
        easy += putts <= limits.easy_putts;
    }
    if (facts.putted == 0) return;
    const double count = static_cast<double>(facts.putted);
    facts.easy_share = static_cast<double>(easy) / count;
    facts.level_easy_share = static_cast<double>(easy_on_level) / count;
    facts.mean_putts = sum / count;
}

void HoleMotion::State::windows() {
    const SurfaceJet jet = surface.jet(hole.x, hole.y);
    const double slope = std::hypot(jet.hx, jet.hy), downhill = std::atan2(-jet.hy, -jet.hx);
    const double level_half = level.half_width(speed_at_hole(kUsualPastM, speed_ft));
    facts.window_share = 1;
    bool any = false;
    for (std::size_t k = 0; k < spots.size(); ++k) {
        const Vec2 ball = place(k);
        const double away = distance(ball, hole);
        if (!spots[k].judged || away < kNearWindow || away > kFarWindow) continue;
        const double level_width = 2 * std::asin(std::min(1.0, level_half / away));
        double width = 0;
        if (usual[k].solved) {
            // One roll, half a hole radius off, tells how an error of direction grows on the way.
            const double off = 0.5 * kHoleRadius / away;
            const Vec2 d = std::cos(off) * usual[k].direction + std::sin(off) * right_of(usual[k].direction);
            RollRun run;
            run.hole = hole;
            run.covered = true;
            run.tolerance = 1e-5;
            run.end_at_pass_m = 0.5;
            const RollOutcome out = run_roll(surface, outline, {ball, horizontal_velocity(surface.jet(ball.x, ball.y), d, usual[k].launch)}, level_decel, run, nullptr);
            ++facts.rolls;
            if (out.pass && out.pass->offset_m != 0) {
                const double growth = std::abs(out.pass->offset_m) / off;
                const double angle = std::atan2(out.pass->direction.y, out.pass->direction.x) - downhill;
                for (const double side : {-1.0, 1.0}) {
                    double low = 0, high = kHoleRadius;
                    const auto taken = [&](double o) {
                        return capture(limits.capture, {side * o, out.pass->speed_mps, slope, angle, level_decel}) == Capture::drops;
                    };
                    if (!taken(0)) high = 0;
                    for (int n = 0; n < 16 && high > 0; ++n) {
                        const double mid = (low + high) / 2;
                        (taken(mid) ? low : high) = mid;
                    }
                    width += low / growth;
                }
            }
        } else if (fates[k] != Fate::lost) {
            continue;
        }
        any = true;
        const double share = std::min(width / level_width, 1.0);
        if (share <= facts.window_share) facts.window_share = share, facts.window_deg = degrees(width), facts.window_from_m = away;
    }
    if (!any) facts.window_share = 0;
}

HoleMotion::HoleMotion(const HoleGround& ground, double green_speed_ft, const LevelPutts& level)
    : state_(std::make_unique<State>(ground, green_speed_ft, level)) {}
HoleMotion::~HoleMotion() = default;
const std::vector<HoleMotion::Fate>& HoleMotion::fates() const { return state_->fates; }
const Raster& HoleMotion::spots() const { return state_->layout; }

MotionFacts HoleMotion::judge(Vec2 p, const Progress& progress) {
    State& s = *state_;
    s.hole = p;
    s.facts = {};
    s.run_on = {};
    s.spots.clear();
    s.stopping(progress);
    progress.check();
    s.from_above();
    progress.check();
    s.putts();
    progress.check();
    s.windows();
    return s.facts;
}

std::vector<Criterion> motion_criteria(const MotionFacts& f, double green_speed_ft, const HoleLimits& limits) {
    std::vector<Criterion> out;
    const auto feet = [](double m) { return fmt::format("{:.2f} m ({:.1f} ft)", m, m / kFoot); };
    const auto at = [](const std::optional<Vec2>& p) { return p ? fmt::format(" ({:.1f}, {:.1f})", p->x, p->y) : std::string(); };
    {
        // From anywhere with continuous putting surface a ball can be stopped within about two feet (Green Section Record 1981).
        Criterion c{"stopping", f.stoppable_share >= limits.stoppable_share, percent(f.stoppable_share), percent(limits.stoppable_share), "%", "", true, true};
        if (f.stoppable + f.lost == 0) {
            c.pass = false;
            c.sentence = fmt::format("no ball can be stopped near the hole from anywhere at {:.1f} ft", green_speed_ft);
        } else {
            // A share that rounds to the limit and misses it is told by what it misses.
            c.sentence = fmt::format("a ball can be stopped within {} from {} of the green, {} the {:.0f} % wanted", feet(limits.stop_within_m),
                                     f.lost == 0 ? "all" : fmt::format("{:.1f} %", std::min(c.value, 99.9)), c.pass ? "meets" : "short of", c.limit);
            if (f.lost > 0) c.sentence += fmt::format("; the nearest spot from which it cannot:{}", at(f.lost_spot));
        }
        out.push_back(std::move(c));
    }
    {
        // A player above the hole can putt with reasonable boldness (Lemons 2008).
        Criterion c{"from above", f.run_past_m <= limits.run_past_m, f.run_past_m, limits.run_past_m, "m", ""};
        if (!std::isfinite(f.run_past_m)) {
            c.measured = false;
            c.value = 2 * limits.run_past_m;
            c.sentence = fmt::format("from above,{}, the slowest putt that reaches the hole does not stop near it at {:.1f} ft", at(f.run_past_spot), green_speed_ft);
        } else if (f.above == 0 || !f.run_past_spot) {
            c.sentence = "no putt from above runs past";
        } else {
            c.sentence = fmt::format("the slowest putt from above, its aim a hole radius off, stops at most {} away, {} the {} allowed", feet(f.run_past_m),
                                     c.pass ? "within" : "over", feet(limits.run_past_m));
        }
        out.push_back(std::move(c));
    }
    {
        const double level = percent(f.level_easy_share), wanted = limits.easy_of_level * level;
        Criterion c{"putts", percent(f.easy_share) >= wanted - 1e-9 && f.putted > 0, percent(f.easy_share), wanted, "%", "", true, true};
        c.sentence = f.putted == 0 ? "no putt comes to the hole at the usual pace"
                                   : fmt::format("{:.0f} % of the green has at most {:.1f} expected putts (level ground: {:.0f} %), {} the {:.0f} % wanted", c.value,
                                                 limits.easy_putts, level, c.pass ? "meets" : "short of", wanted);
        out.push_back(std::move(c));
    }
    {
        Criterion c{"window", f.window_share >= limits.window_of_level, percent(f.window_share), percent(limits.window_of_level), "%", "", true, true};
        c.sentence = f.window_share <= 0 ? "from 1 to 2 m there are spots from which no direction holes at the usual pace"
                                         : fmt::format("the narrowest direction window from 1 to 2 m is {:.1f} degrees, from {:.1f} m: {:.0f} % of level ground's, {} "
                                                       "the {:.0f} % wanted", f.window_deg, f.window_from_m, c.value, c.pass ? "meets" : "short of", c.limit);
        out.push_back(std::move(c));
    }
    return out;
}

}  // namespace brae
