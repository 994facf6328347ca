#include "core/plan/hole_judge.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/plan/hole_criteria.h"
#include "core/plan/hole_lattice.h"
#include "core/plan/hole_settings.h"
#include "core/roll/green_speed.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <mutex>
#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

constexpr double kSpeedStepFt = 0.1;
constexpr double kCoarseStepFt = 1.0;

bool all_pass(const std::vector<Criterion>& criteria) {
    return std::all_of(criteria.begin(), criteria.end(), [](const Criterion& c) { return c.pass; });
}

const Criterion& tightest(const HolePosition& h) {
    return *std::min_element(h.criteria.begin(), h.criteria.end(), [](const Criterion& a, const Criterion& b) { return margin(a) < margin(b); });
}

// Least margin, window and putts together; to a thousandth, since finer differences are no reason to prefer a place.
double score_of(const HolePosition& h, const MotionFacts& facts) {
    const double least = std::max(0.0, margin(tightest(h)));
    const double putts = facts.level_easy_share > 0 ? std::min(1.0, facts.easy_share / facts.level_easy_share) : 1;
    return std::max(0.001, std::round(1000 * (0.5 * least + 0.25 * facts.window_share + 0.25 * putts)) / 1000);
}

std::string why_of(const HolePosition& h) {
    if (h.fair) return fmt::format("fair; nearest limit: {}", tightest(h).sentence);
    std::string against;
    for (const Criterion& c : h.criteria)
        if (!c.pass) against += (against.empty() ? "" : "; ") + c.sentence;
    return "not fair: " + against;
}

}  // namespace

struct HoleJudge::State {
    HoleGround ground;
    double speed_ft;
    LevelPutts level;
    tbb::enumerable_thread_specific<std::unique_ptr<HoleMotion>> motions;

    State(const TerrainModel& terrain, GreenAround around, double speed, const HoleLimits& limits)
        : ground(terrain, std::move(around), limits), speed_ft(speed), level(limits.player.errors(), speed) {}

    HoleMotion& motion() {
        auto& mine = motions.local();
        if (!mine) mine = std::make_unique<HoleMotion>(ground, speed_ft, level);
        return *mine;
    }

    // Ground first; motion where it is asked for or where the ground leaves it possible.
    HolePosition judge(Vec2 p, bool motion_always, const Progress& progress) {
        HolePosition out;
        out.p = p;
        out.criteria = ground.judge(p, speed_ft);
        out.edge_m = out.criteria.front().value;
        if (out.edge_m < 0) {
            out.why = why_of(out);
            return out;
        }
        for (const Criterion& c : out.criteria)
            if (c.name == "slope") out.slope = c.value / 100;
        if (motion_always || all_pass(out.criteria)) {
            const MotionFacts facts = motion().judge(p, progress);
            for (Criterion& c : motion_criteria(facts, speed_ft, ground.limits())) out.criteria.push_back(std::move(c));
            out.putts = facts.mean_putts;
            out.fair = all_pass(out.criteria);
            if (out.fair) out.score = score_of(out, facts);
        }
        out.why = why_of(out);
        return out;
    }
};

HoleJudge::HoleJudge(const TerrainModel& terrain, GreenAround around, double green_speed_ft, const HoleLimits& limits)
    : state_(std::make_unique<State>(terrain, std::move(around), green_speed_ft, limits)) {}
HoleJudge::~HoleJudge() = default;

const HoleGround& HoleJudge::ground() const { return state_->ground; }
double HoleJudge::green_speed_ft() const { return state_->speed_ft; }
const HoleLimits& HoleJudge::limits() const { return state_->ground.limits(); }

HolePosition HoleJudge::judge(Vec2 p) const {
    if (!std::isfinite(p.x) || !std::isfinite(p.y)) throw usage_error("the hole's place is not a number");
    return state_->judge(p, true, Progress());
}

MotionFacts HoleJudge::motion(Vec2 p) const {
    if (!state_->ground.terrain().outline.contains(p)) throw usage_error(fmt::format("the hole at {:.2f},{:.2f} is not on the green", p.x, p.y));
    return state_->motion().judge(p, Progress());
}

GreenJudgement HoleJudge::judge_green(HoleScope scope, Progress& progress) const {
    State& s = *state_;
    GreenJudgement out;
    out.green_speed_ft = s.speed_ft;
    out.spacing_m = limits().spacing_m;
    out.scope = scope;
    const std::vector<Vec2> places = candidates_on(s.ground.terrain(), out.spacing_m, s.ground.around().closed);
    out.places.resize(places.size());

    // Each place by itself, whatever thread takes it; who finds the door open tells how far the work is.
    std::atomic<std::size_t> done = 0;
    std::mutex door;
    progress.step(0, "judging places");
    tbb::parallel_for(std::size_t{0}, places.size(), [&](std::size_t k) {
        progress.check();
        out.places[k] = s.judge(places[k], scope == HoleScope::every_place, progress);
        const std::size_t n = ++done;
        if (std::unique_lock lock(door, std::try_to_lock); lock)
            progress.step(0.9 * static_cast<double>(n) / static_cast<double>(places.size()), "judging places");
    }, tbb::simple_partitioner());
    for (const HolePosition& h : out.places) out.fair += h.fair;
    out.fair_area_m2 = static_cast<double>(out.fair) * out.spacing_m * out.spacing_m;
    if (out.fair > 0) {
        progress.step(1, "done");
        return out;
    }

    // Why none: the place that misses by least.
    if (places.empty()) {
        out.why_none = "no place is left on this green: the closed zones cover all of it";
        return out;
    }
    // What was judged by the ground alone is an upper bound of a place's margin: best bound first, a few judged in full.
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t k = 0; k < places.size(); ++k) order.emplace_back(margin(tightest(out.places[k])), k);
    std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    HolePosition closest;
    double best = -std::numeric_limits<double>::infinity();
    int asked = 0;
    for (const auto& [bound, k] : order) {
        if (bound <= best || ++asked > 40) break;
        progress.step(0.9, "looking for the closest place");
        HolePosition whole = s.judge(places[k], true, progress);
        if (const double m = margin(tightest(whole)); m > best) best = m, closest = std::move(whole);
    }
    out.closest = closest.p;
    const Criterion& limit = tightest(closest);
    out.why_none = fmt::format("no place is fair at {:.1f} ft; the closest, at ({:.1f}, {:.1f}), fails on {}: {}", s.speed_ft, closest.p.x, closest.p.y,
                               limit.name, limit.sentence);

    // The speed that would allow one, by halving down from here over the places that came closest; the edge knows no speed.
    std::vector<Vec2> hopeful;
    for (const auto& [bound, k] : order) {
        bool by_place = false;
        for (const Criterion& c : out.places[k].criteria)
            by_place = by_place || (!c.pass && (c.name == "edge" || c.name == "guarded edge" || c.name == "change of slope" || c.name == "uniform grade"));
        if (!by_place && hopeful.size() < 24) hopeful.push_back(places[k]);
    }
    double allowed = 0;
    const auto any_fair = [&](double speed) {
        State slower(s.ground.terrain(), s.ground.around(), speed, limits());
        for (Vec2 p : hopeful) {
            progress.step(0.95, "looking for a green speed that allows a hole");
            if (slower.judge(p, false, progress).fair) return true;
        }
        return false;
    };
    int low = static_cast<int>(10 * kSlowestGreenFt), high = static_cast<int>(std::ceil(10 * s.speed_ft));
    if (!hopeful.empty() && any_fair(low / 10.0)) {
        while (high - low > 1) {
            const int mid = (low + high) / 2;
            (any_fair(mid / 10.0) ? low : high) = mid;
        }
        allowed = low / 10.0;
    }
    out.why_none += allowed > 0 ? fmt::format("; a green speed of {:.1f} ft would allow one", allowed)
                                : fmt::format("; no green speed from {:.0f} ft up would allow one", kSlowestGreenFt);
    return out;
}

Raster map_of(const GreenJudgement& judged, const std::string& name) {
    const auto& names = hole_criterion_names();
    if (name != "margin" && std::none_of(names.begin(), names.end(), [&](const HoleCriterionName& n) { return name == n.name; }))
        throw usage_error(fmt::format("'{}' is no criterion of hole positions", name));
    if (judged.places.empty()) return {};
    std::vector<Vec2> at;
    for (const HolePosition& h : judged.places) at.push_back(h.p);
    const Box box = box_of(at);
    const double cell = judged.spacing_m;
    Raster out(static_cast<int>(std::lround(box.width() / cell)) + 1, static_cast<int>(std::lround(box.height() / cell)) + 1, box.x0 - cell / 2,
               box.y0 - cell / 2, cell, std::numeric_limits<double>::quiet_NaN());
    for (const HolePosition& h : judged.places) {
        double& value = out.at(static_cast<int>(std::lround((h.p.x - box.x0) / cell)), static_cast<int>(std::lround((h.p.y - box.y0) / cell)));
        if (name == "margin") value = std::max(-1.0, margin(tightest(h)));
        for (const Criterion& c : h.criteria)
            if (c.name == name && c.measured) value = c.value;
    }
    return out;
}

std::vector<FairAtSpeed> fair_area_at(const TerrainModel& terrain, const GreenAround& around, const std::vector<double>& speeds_ft,
                                      const HoleLimits& limits, Progress& progress) {
    std::vector<FairAtSpeed> out;
    for (const double s : speeds_ft) level_deceleration(s);   // refuses one out of range before any work
    const double share = 1 / std::max(1.0, static_cast<double>(speeds_ft.size()));
    for (const double s : speeds_ft) {
        const double from = share * static_cast<double>(out.size());
        Progress part(progress, from, from + share);
        HoleJudge::State judge(terrain, around, s, limits);
        const auto places = candidates_on(terrain, limits.spacing_m, around.closed);
        std::vector<unsigned char> fair(places.size());
        std::atomic<std::size_t> done = 0;
        std::mutex door;
        tbb::parallel_for(std::size_t{0}, places.size(), [&](std::size_t k) {
            part.check();
            fair[k] = judge.judge(places[k], false, part).fair;
            const std::size_t n = ++done;
            if (std::unique_lock lock(door, std::try_to_lock); lock)
                part.step(static_cast<double>(n) / static_cast<double>(places.size()), fmt::format("fair area at {:.1f} ft", s));
        }, tbb::simple_partitioner());
        out.push_back({s, static_cast<double>(std::count(fair.begin(), fair.end(), 1)) * limits.spacing_m * limits.spacing_m});
    }
    return out;
}

FairUntil fair_until(const TerrainModel& terrain, const GreenAround& around, Vec2 p, double from_ft, const HoleLimits& limits, Progress& progress) {
    FairUntil out;
    const auto at = [&](double speed) {
        progress.step(std::min(1.0, (speed - from_ft) / 12), "how fast the green may get");
        return HoleJudge(terrain, around, speed, limits).judge(p);
    };
    const auto failing = [&](const HolePosition& h) {
        for (const Criterion& c : h.criteria)
            if (!c.pass && out.criterion.empty()) out.criterion = c.name, out.sentence = c.sentence;
    };
    HolePosition now = at(from_ft);
    out.fair_now = now.fair;
    if (!now.fair) {
        failing(now);
        return out;
    }

    // Steps of a foot up to the first that fails, then tenths in between.
    const int start = static_cast<int>(std::floor(10 * from_ft + 1e-9)), top = static_cast<int>(10 * kFastestGreenFt);
    const int step = static_cast<int>(std::lround(kCoarseStepFt / kSpeedStepFt));
    int good = start, bad = top + 1;
    std::optional<HolePosition> first_bad;
    while (good < top) {
        const int next = std::min(top, good + step);
        HolePosition h = at(next / 10.0);
        if (!h.fair) {
            bad = next;
            first_bad = std::move(h);
            break;
        }
        good = next;
    }
    while (first_bad && bad - good > 1) {
        const int mid = (good + bad) / 2;
        HolePosition h = at(mid / 10.0);
        if (h.fair) good = mid;
        else bad = mid, first_bad = std::move(h);
    }
    out.speed_ft = std::max(from_ft, good / 10.0);
    if (first_bad) failing(*first_bad);
    return out;
}

std::string forecast_warning(const FairUntil& until, double forecast_ft) {
    if (!until.fair_now) return fmt::format("the hole is not fair now: {}", until.sentence);
    if (until.criterion.empty() || forecast_ft <= until.speed_ft + 1e-9) return {};
    return fmt::format("the hole stops being fair above {:.1f} ft and {:.1f} ft is forecast; it then fails on {}: {}", until.speed_ft, forecast_ft,
                       until.criterion, until.sentence);
}

}  // namespace brae
