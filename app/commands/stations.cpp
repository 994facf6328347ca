// brae stations: practice stations for one hole, their break, and the spot of the aim marker.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/base/version.h"
#include "core/record/green_file.h"
#include "core/record/green_queries.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

using nlohmann::ordered_json;

ordered_json json_of(Vec2 p) { return {tidy(p.x), tidy(p.y)}; }

// Null where there is no line at that speed.
ordered_json number_or_null(double value) { return std::isfinite(value) ? ordered_json(tidy(value)) : ordered_json(nullptr); }

// A break in whole centimetres with its standard error, never an error of nothing.
std::string centimetres(double metres) { return std::isfinite(metres) ? fmt::format("{:.0f}", 100 * metres) : "no line"; }
std::string error_words(double metres) { return 100 * metres < 0.5 ? "under 1" : centimetres(metres); }

ordered_json json_of_tapes(const std::optional<TapePlan>& plan) {
    if (!plan) return nullptr;
    const auto reading = [](const TapeReading& t) { return ordered_json{{"from", t.from.name}, {"m", tidy(t.metres)}}; };
    return {{"first", reading(plan->first)},
            {"second", reading(plan->second)},
            {"side", plan->side == TapeSide::left ? "left" : "right"},
            {"check", plan->check ? reading(*plan->check) : ordered_json(nullptr)},
            {"crossing_deg", tidy(plan->crossing_deg)},
            {"se_m", tidy(plan->se_m)}};
}

std::string tape_words(const std::optional<TapePlan>& plan) {
    if (!plan) return "no pair of marks crosses well";
    std::string text = fmt::format("{} {:.2f} m, {} {:.2f} m, {} of {}-{}", plan->first.from.name, plan->first.metres,
                                   plan->second.from.name, plan->second.metres,
                                   plan->side == TapeSide::left ? "left" : "right", plan->first.from.name,
                                   plan->second.from.name);
    if (plan->check) text += fmt::format(", check {} {:.2f} m", plan->check->from.name, plan->check->metres);
    return text;
}

}  // namespace

int run_stations(const StationsArguments& a) {
    if (a.lesson == "list") {
        if (a.json) {
            ordered_json out{{"lessons", ordered_json::array()}};
            for (const auto& l : lesson_kinds())
                out["lessons"].push_back({{"name", l.name}, {"teaches", l.teaches}, {"wants", l.wants}});
            print_json(out);
            return 0;
        }
        for (const auto& l : lesson_kinds()) fmt::print("{:12} {}\n{:12} {}\n", l.name, l.teaches, "", l.wants);
        return 0;
    }
    if (a.green.empty()) throw usage_error("GREEN is missing; a green file or a survey is wanted");
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    if (a.store && green.revision == 0)
        throw usage_error(fmt::format("--store: {} is a survey, not a green file; make one with brae survey", a.green));
    const Vec2 hole = parse_hole(a.hole, green);
    const double speed_ft = speed_of_day(green, a.speed_ft).speed_ft;
    const StationPlan plan = plan_stations_of(green, hole, speed_ft, a.past_m, a.lesson, terminal.progress());
    if (plan.stations.empty()) throw Error(plan.missing);
    terminal.finish();

    // Kept with the green, with the revision of the surface they were computed on.
    if (a.store) {
        Green changed = green;
        changed.stations.clear();
        for (const auto& s : plan.stations) changed.stations.push_back({s, green.surface_revision, model_version()});
        ++changed.revision;
        update_green_file(changed, a.green);
    }

    if (a.json) {
        ordered_json out{{"lesson", a.lesson}, {"stations", ordered_json::array()}};
        for (const auto& s : plan.stations)
            out["stations"].push_back({{"label", s.label},
                                       {"ball", json_of(s.ball)},
                                       {"marker", json_of(s.marker)},
                                       {"hole", json_of(s.hole)},
                                       {"past_m", tidy(s.past_m)},
                                       {"speed_ft", tidy(s.green_speed_ft)},
                                       {"break_m", tidy(s.break_m)},
                                       {"break_se_m", tidy(s.break_se_m)},
                                       {"aim_offset_m", tidy(s.aim_offset_m)},
                                       {"side", to_text(s.side)},
                                       {"distance_m", tidy(s.distance_m)},
                                       {"launch_mps", tidy(s.launch_mps)},
                                       {"ball_speed_mps", tidy(s.ball_speed_mps)},
                                       {"break_slower_m", number_or_null(s.break_slower_m)},
                                       {"break_faster_m", number_or_null(s.break_faster_m)},
                                       {"slope_along_pct", tidy(s.slope_along_pct)},
                                       {"start_line_at_0_3m", json_of(s.start_line_at_0_3m)},
                                       {"start_line_at_1m", json_of(s.start_line_at_1m)},
                                       {"holing_window", {{"left_deg", tidy(s.window.left_deg)}, {"right_deg", tidy(s.window.right_deg)}, {"slow_mps", tidy(s.window.slow_mps)}, {"fast_mps", tidy(s.window.fast_mps)}}},
                                       {"tapes", {{"ball", json_of_tapes(s.tape_ball)}, {"marker", json_of_tapes(s.tape_marker)}}},
                                       {"note", s.note}});
        out["missing"] = plan.missing;
        out["warnings"] = green.terrain->warnings;
        print_json(out);
        return 0;
    }
    fmt::print("{} at {:.1f} ft, hole at {:.2f}, {:.2f} m\n\n", a.lesson, speed_ft, hole.x, hole.y);
    for (const auto& s : plan.stations) {
        fmt::print("{}  {:.2f} m, {}, pace {:.2f} m, break {} cm (standard error {}); {} at {:.1f} ft, {} at {:.1f} ft\n", s.label,
                   s.distance_m, to_text(s.side), s.past_m, centimetres(s.break_m), error_words(s.break_se_m),
                   centimetres(s.break_slower_m), s.green_speed_ft - 0.5, centimetres(s.break_faster_m), s.green_speed_ft + 0.5);
        fmt::print("   ball   {:.2f}, {:.2f} m: {}\n", s.ball.x, s.ball.y, tape_words(s.tape_ball));
        if (s.wants_marker()) fmt::print("   marker {:.2f}, {:.2f} m: {}\n", s.marker.x, s.marker.y, tape_words(s.tape_marker));
        if (!s.note.empty()) fmt::print("   {}\n", s.note);
    }
    if (!plan.missing.empty()) fmt::print("\n{}\n", plan.missing);
    fmt::print("\nFor practice only. Count pegs and strings out and in; ask the greenkeeper first.\n");
    return 0;
}

}  // namespace brae::app
