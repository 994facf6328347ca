#include "app/commands/hole_request.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/plan/hole_settings.h"
#include "core/record/green_queries.h"
#include "core/survey/ring.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

namespace brae::app {

HoleLimits hole_limits_of(const HolesArguments& a) {
    HoleLimits limits = hole_profile(a.profile.empty() ? "everyday" : a.profile);
    if (!a.limits.empty()) {
        // A club's own file: one object of keys and numbers.
        std::ifstream in(a.limits);
        if (!in) throw usage_error(fmt::format("--limits: '{}' cannot be read; a JSON file is wanted", a.limits));
        nlohmann::json file = nlohmann::json::parse(in, nullptr, false);
        if (!file.is_object()) throw usage_error(fmt::format("--limits: '{}' holds no JSON object of limits", a.limits));
        if (file.contains("profile")) {
            if (!file["profile"].is_string()) throw usage_error(fmt::format("--limits: '{}': profile is no name", a.limits));
            if (a.profile.empty()) limits = hole_profile(file["profile"].get<std::string>());
        }
        for (const auto& [key, value] : file.items()) {
            if (key == "profile") continue;
            try {
                if (key == "player" && value.is_object()) {
                    set_player(limits, value.value("start_line_deg", degrees(limits.player.start_line.rad)), value.value("launch_pct", 100 * limits.player.launch_sigma_rel),
                               value.value("read_deg", degrees(limits.player.read_sigma_rad)));
                    continue;
                }
                if (!value.is_number()) throw usage_error(fmt::format("{}: found {}; a number is wanted", key, value.dump()));
                set_shown(limits, key, value.get<double>());
            } catch (const nlohmann::json::exception&) {
                throw usage_error(fmt::format("--limits: '{}': {}: numbers are wanted", a.limits, key));
            } catch (const Error& e) {
                throw usage_error(fmt::format("--limits: '{}': {}", a.limits, e.what()));
            }
        }
    }
    if (a.spacing_m) set_shown(limits, "spacing_m", *a.spacing_m);
    check_hole_limits(limits);
    return limits;
}

std::string first_day_of(const HolesArguments& a) {
    if (a.from.empty()) return today();
    if (!day_of(a.from)) throw usage_error(fmt::format("--from: found '{}'; a day such as 2026-05-02 is wanted", a.from));
    return a.from;
}

HoleRequest hole_request_of(const Green& green, const std::string& first_day, int days, std::optional<double> play_bearing_deg) {
    return hole_question(green, first_day, days, play_bearing_deg ? std::optional(direction_of_bearing(*play_bearing_deg)) : std::nullopt);
}

std::string with_closed_zones(std::string why_none, const Green& green, const std::string& first_day, int days) {
    const std::string closed = closed_zones_words(green, first_day, days);
    return closed.empty() || why_none.empty() ? why_none : why_none + "; " + closed;
}

std::string edge_warning(const Green& green) {
    if (green.terrain->outline.source() != OutlineSource::data_boundary) return {};
    return "the edge is the boundary of the data, which may hold longer grass: distances to the edge count from there; give --outline to brae survey";
}

std::string fair_to_text(const FairUntil& until) {
    return until.criterion.empty() ? fmt::format("at least {:.0f} ft", until.speed_ft) : fmt::format("{:.1f} ft", until.speed_ft);
}

HolesOfGreen holes_of_green(const Green& kept, const HolesArguments& a, const HoleLimits& limits, double speed_ft, HoleScope scope, Progress& progress) {
    const std::string first_day = first_day_of(a);
    Green green = kept;
    std::set<std::string> kept_days;   // on which an earlier plan's choice stands
    if (a.as_kept)
        for (StoredHole& h : green.holes) {
            const auto day = days_between(first_day, h.date);
            if (!h.by_plan || h.as_cut || !day || *day < 0 || *day >= a.days) continue;
            h.by_plan = false;
            kept_days.insert(h.date);
        }
    const HoleRequest request = hole_request_of(green, first_day, a.days, a.play_deg);
    const TerrainModel& terrain = *green.terrain;
    const GreenThirds thirds = thirds_of(terrain.outline, request.around.play);
    HolesOfGreen out;
    out.warnings = request.warnings;
    out.skipped = request.skipped;
    if (a.days == 0)
        for (const SkippedDay& s : request.skipped) out.warnings.push_back(fmt::format("{} is told as skipped ({}): no hole is cut", s.date, s.reason));
    Progress judging(progress, 0, 0.85), rest(progress, 0.85, 1);
    const HoleJudge judge(terrain, a.days > 0 ? request.whole_plan : request.around, speed_ft, limits);
    out.judged = judge.judge_green(scope, judging);
    out.ramp = flattest_site(terrain, request.around.closed, speed_ft);

    if (a.days == 0) {
        TodayHoles chosen = choose_today(out.judged, thirds, request.recent, {.most = static_cast<std::size_t>(a.most), .apart_m = limits.apart_m});
        out.positions = std::move(chosen.best);
        out.why_none = with_closed_zones(chosen.why_none, green, first_day, 0);
        for (const HolePosition& h : out.positions) out.until.push_back(fair_until(terrain, request.around, h.p, speed_ft, limits, rest));
        return out;
    }
    if (out.judged.fair == 0 && request.over.by_hand.empty()) {
        out.why_none = with_closed_zones(out.judged.why_none, green, first_day, a.days);
        return out;
    }
    CourseRules rules;
    rules.apart_m = limits.apart_m;
    rules.healing_days = a.recovery_days;
    const CourseGreen course = course_green(out.judged, terrain, request.around.play, request.over, a.recovery_days);
    const CoursePlan plan = plan_course({course}, a.days, rules, rest);
    out.gap = plan.gap;
    out.remarks = plan.remarks;
    for (int d = 0; d < a.days; ++d) {
        const int pick = plan.picks[0][d];
        if (pick < 0) continue;
        const CourseCandidate& c = course.candidates[pick];
        const bool by_hand = std::any_of(course.by_hand.begin(), course.by_hand.end(), [&](const PickByHand& h) { return h.day == d; });
        HolePosition h = by_hand ? judge.judge(c.p) : HolePosition{};
        for (const HolePosition& place : out.judged.places)
            if (!by_hand && place.p == c.p) h = place;
        h.day = std::to_string(d + 1);
        const std::string where = fmt::format("{}: {:.1f} % slope, {:.1f} paces from the edge", thirds.name(h.p), percent(h.slope), h.edge_m / kPace);
        const std::string date = date_after(first_day, d);
        const bool cut = std::any_of(green.holes.begin(), green.holes.end(), [&](const StoredHole& s) { return s.as_cut && s.date == date; });
        const char* hand = cut ? "as cut; " : kept_days.contains(date) ? "as the plan is kept; " : "set by hand; ";
        h.why = by_hand ? hand + where + (h.fair ? "" : "; " + h.why) : where;
        out.positions.push_back(std::move(h));
        out.by_hand.push_back(by_hand);
    }
    out.why_none = with_closed_zones(plan.without.front(), green, first_day, 1);
    return out;
}

}  // namespace brae::app
