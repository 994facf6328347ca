#include "core/plan/hole_settings.h"

#include "core/base/error.h"
#include "core/base/units.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

const char* const kOwn = "own choice";

}  // namespace

const std::vector<HoleSetting>& hole_settings() {
    using L = HoleLimits;
    static const std::vector<HoleSetting> settings{
        {"edge_paces", "distance from the edge", "paces", kPace, 0, 30, "four paces: Lemons 2008", &L::edge_m},
        {"guarded_extra_paces", "more over a bunker or a steep bank", "paces", kPace, 0, 20, "more is advised (USGA/R&A guidance, memory); how much: own choice", &L::guarded_extra_m},
        {"guard_reach_paces", "how near beyond the edge a bunker guards it", "paces", kPace, 0, 20, kOwn, &L::guard_reach_m},
        {"bank_slope_pct", "an edge that falls away outwards by more is a bank", "%", 0.01, 1, 100, kOwn, &L::bank_slope},
        {"radius_ft", "ground judged round the hole", "ft", kFoot, 0.5, 15, "two to three feet: Lemons 2008", &L::radius_m},
        {"slope_ceiling_pct", "slope, whatever the speed", "%", 0.01, 0, 20, "usual cupping areas, 2 to 3 %: Lemons 2008", &L::slope_ceiling},
        {"slope_times_speed", "slope times green speed", "% ft", 0.01, 0, 200, "everyday 30: common practice; competition 39: Lemons 2008 as restated by Brauer 2018", &L::slope_times_speed},
        {"slope_change_pct", "change of slope within the radius", "%", 0.01, 0, 20, "uniform grade: Lemons 2008; the figure: own choice", &L::slope_change},
        {"uniform_ft", "radius of uniform grade", "ft", kFoot, 0, 6.5, "more than 3 ft of constant slope: Lemons 2008", &L::uniform_m},
        {"steep_ft", "distance from ground on which a ball gathers speed", "ft", kFoot, 0, 60, "no steep slope within 2 to 3 ft: Lemons 2008", &L::steep_m},
        {"steep_times_speed", "such ground: slope times green speed over", "% ft", 0.01, 10, 200, "54 in the field, 78 for a rolling sphere (docs/references.md)", &L::steep_times_speed},
        {"approach_paces", "free green on the side that is played from", "paces", kPace, 0, 60, "as from the edge: Lemons 2008", &L::approach_m},
        {"stop_within_ft", "a ball can be stopped so near", "ft", kFoot, 0.3, 15, "about two feet: Green Section Record 1981, in Lemons 2008", &L::stop_within_m},
        {"stoppable_pct", "from so much of the green", "%", 0.01, 1, 100, "from anywhere: Green Section Record 1981, in Lemons 2008", &L::stoppable_share},
        {"run_past_ft", "how far past runs the slowest putt from above, its aim a hole radius off", "ft", kFoot, 0.3, 15, "reasonable boldness from above: Lemons 2008; the figure as for stopping", &L::run_past_m},
        {"easy_putts", "expected putts at most", "putts", 1, 1.5, 4, kOwn, &L::easy_putts},
        {"easy_of_level_pct", "from so much of the share that level ground would give", "%", 0.01, 0, 100, kOwn, &L::easy_of_level},
        {"window_of_level_pct", "narrowest direction window against level ground", "%", 0.01, 0, 100, kOwn, &L::window_of_level},
        {"spacing_m", "spacing of candidates", "m", 1, 0.1, 5, kOwn, &L::spacing_m},
        {"spot_spacing_m", "spacing of ball spots", "m", 1, 0.25, 2, kOwn, &L::spot_spacing_m},
        {"apart_m", "between holes of following days", "m", 1, 0, 50, "3 m from the holes of the last 7 days: memory, common practice", &L::apart_m}};
    return settings;
}

double shown(const HoleLimits& limits, const HoleSetting& s) { return limits.*s.member / s.scale; }

void set_shown(HoleLimits& limits, const std::string& key, double value) {
    const auto& all = hole_settings();
    const auto s = std::find_if(all.begin(), all.end(), [&](const HoleSetting& one) { return key == one.key; });
    if (s == all.end()) {
        std::string names;
        for (const HoleSetting& one : all) names += (names.empty() ? "" : ", ") + std::string(one.key);
        throw usage_error(fmt::format("'{}' is no limit of hole positions; one of these is wanted: {}, player", key, names));
    }
    if (!(value >= s->low && value <= s->high))
        throw usage_error(fmt::format("{}: found {:g} {}; {:g} to {:g} {} is wanted", key, value, s->unit, s->low, s->high, s->unit));
    limits.*s->member = value * s->scale;
}

void set_player(HoleLimits& limits, double start_line_deg, double launch_pct, double read_deg) {
    PlayerSpread p = limits.player;
    p.start_line = StartLineSigma<PlayerSpread::Criterion>(radians(start_line_deg));
    p.launch_sigma_rel = launch_pct / 100;
    p.read_sigma_rad = radians(read_deg);
    p.check();
    limits.player = p;
}

const std::vector<std::string>& hole_profile_names() {
    static const std::vector<std::string> names{"everyday", "competition"};
    return names;
}

HoleLimits hole_profile(const std::string& name) {
    HoleLimits limits;
    if (name == "everyday") return limits;
    if (name != "competition")
        throw usage_error(fmt::format("'{}' is no profile of hole positions; everyday or competition is wanted", name));
    // The field ceiling by green speed, 4.35 % at 9 ft to 2.99 % at 13 ft; near it putts are harder by intent.
    limits.slope_ceiling = 0.0435;
    limits.slope_times_speed = 0.39;
    limits.easy_of_level = 0.4;
    limits.window_of_level = 0.4;
    return limits;
}

void check_hole_limits(const HoleLimits& limits) {
    for (const HoleSetting& s : hole_settings()) {
        const double value = shown(limits, s);
        if (!(value >= s.low - 1e-9 && value <= s.high + 1e-9))
            throw usage_error(fmt::format("the limit {} ({}) is {:g} {}; {:g} to {:g} {} is wanted", s.key, s.what, value, s.unit, s.low, s.high, s.unit));
    }
    limits.player.check();
}

const std::vector<HoleCriterionName>& hole_criterion_names() {
    static const std::vector<HoleCriterionName> names{
        {"edge", "at least four paces from any edge: Lemons 2008", false},
        {"guarded edge", "more over a bunker or where the ground falls away: USGA/R&A guidance, memory", false},
        {"steep ground", "no steep slope near, not where a ball gathers speed: Lemons 2008", false},
        {"slope", "everyday 3 % and 30/S %: common practice; competition 39/S %: Lemons 2008, Brauer 2018", false},
        {"change of slope", "no change of slope within 2 to 3 ft: Lemons 2008", false},
        {"uniform grade", "more than 3 ft of constant slope: Lemons 2008", false},
        {"approach", "enough green on the side of the shot: USGA/R&A guidance, memory", false},
        {"stopping", "from anywhere a ball can be stopped within about two feet: Green Section Record 1981, in Lemons 2008", true},
        {"from above", "a player above the hole can putt with reasonable boldness: Lemons 2008", true},
        {"putts", "own choice", true},
        {"window", "own choice", true}};
    return names;
}

}  // namespace brae
