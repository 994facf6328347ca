// brae stations: practice stations for one hole, their break, and the spot of the aim marker.
#include "app/commands/output.h"
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/interval.h"
#include "core/base/units.h"
#include "core/base/version.h"
#include "core/export/point_file.h"
#include "core/plan/quick_chance.h"
#include "core/plan/station_facts.h"
#include "core/plan/station_speeds.h"
#include "core/record/green_file.h"
#include "core/record/green_queries.h"
#include "core/record/lesson_kind_file.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

using nlohmann::ordered_json;

ordered_json json_of(Vec2 p) { return {tidy(p.x), tidy(p.y)}; }

// Null where there is no line at that speed.
ordered_json number_or_null(double value) { return std::isfinite(value) ? ordered_json(tidy(value)) : ordered_json(nullptr); }

// A break in whole centimetres with the +/- that holds the truth in nine of ten cases, never one of nothing.
std::string centimetres(double metres) { return std::isfinite(metres) ? fmt::format("{:.0f}", 100 * metres) : "no line"; }
std::string error_words(double se_m) { return fmt::format("{:.0f}", std::max(1.0, 100 * kZ90 * se_m)); }

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

// What is read off the station: gate, turning point, string, widths, and the break at other green speeds.
ordered_json json_of_facts(const PracticeStation& s, const std::vector<BreakAtSpeed>& speeds) {
    const StartGate gate = start_gate(s);
    const BreakWidths widths = break_widths(s);
    const StringSetting string = string_setting(s, s.marker);
    const SlipEffect slip = slip_effect(s);
    ordered_json out{{"gate", {{"left", json_of(gate.left)}, {"right", json_of(gate.right)}, {"ahead_m", tidy(gate.ahead_m)},
                               {"width_m", tidy(gate.width_m)}, {"tolerance_deg", tidy(gate.tolerance_deg)}}},
                     {"break_hole_widths", tidy(widths.holes)},
                     {"break_ball_widths", tidy(widths.balls)},
                     {"break_from_edge_m", tidy(widths.edge_m)},
                     {"string", {{"along_m", tidy(string.along_m)}, {"out_m", tidy(string.out_m)}, {"side", string.right ? "right" : "left"}}},
                     {"slip_2cm", {{"start_deg", tidy(std::max(slip.marker_deg, slip.ball_deg))}, {"still_holes", slip.still_holes}}},
                     {"break_at_speeds", ordered_json::array()}};
    const auto turn = turning_point(s);
    out["turning_point"] = turn ? json_of(turn->p) : ordered_json(nullptr);
    for (const BreakAtSpeed& b : speeds)
        out["break_at_speeds"].push_back({{"speed_ft", tidy(b.green_speed_ft)}, {"break_m", b.break_m ? ordered_json(tidy(*b.break_m)) : ordered_json(nullptr)},
                                          {"usual", b.usual}});
    return out;
}

// "9.0 ft 30, 9.5 ft 33, ..., cm"
std::string speed_words(const std::vector<BreakAtSpeed>& speeds) {
    std::string out;
    for (const BreakAtSpeed& b : speeds)
        out += fmt::format("{}{:.1f} ft{}: {}", out.empty() ? "" : ", ", b.green_speed_ft, b.usual ? " (usual)" : "",
                           b.break_m ? centimetres(*b.break_m) : "no line");
    return out;
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
    StationRequest request = station_request(green, hole, speed_ft, a.past_m, a.lesson);
    if (!a.lesson_file.empty()) request.own = read_lesson_kind(a.lesson_file);
    if (!a.out.empty()) check_output(a.out, {a.green, a.lesson_file}, std::filesystem::path(a.out).extension().string());
    const PlayerMeant player = player_meant(a.who, green, terminal.progress());
    request.player = player.spread;
    const StationPlan plan = plan_stations(*green.terrain, request, terminal.progress());
    if (plan.stations.empty()) throw Error(plan.missing);
    // The shared peg is set out like the other markers: from the marks and the hole.
    std::optional<TapePlan> peg_tapes;
    if (plan.shared_aim) {
        std::vector<TapePoint> known = request.known;
        known.push_back({"hole", hole});
        peg_tapes = plan_tapes(known, plan.shared_aim->p);
    }
    std::vector<std::vector<BreakAtSpeed>> speeds;
    for (const PracticeStation& s : plan.stations) speeds.push_back(breaks_at_speeds(*green.terrain, s, a.usual_speed_ft));
    std::vector<double> chances;
    for (const PracticeStation& s : plan.stations) chances.push_back(chance_at(*green.terrain, s, player.spread));
    if (!a.out.empty()) write_points(station_points(plan.stations), *green.terrain, a.out);
    terminal.finish();

    // Kept with the green, with the revision of the surface they were computed on.
    if (a.store) {
        Green changed = green;
        changed.stations.clear();
        changed.stations_told = {a.usual_speed_ft, plan.missing};
        for (const auto& s : plan.stations) changed.stations.push_back({s, green.surface_revision, model_version()});
        ++changed.revision;
        update_green_file(changed, a.green);
    }

    const std::string lesson = request.own ? request.own->name : a.lesson;
    if (a.json) {
        ordered_json out{{"lesson", lesson}, {"player", player.words}, {"stations", ordered_json::array()}};
        for (std::size_t k = 0; k < plan.stations.size(); ++k) {
            const PracticeStation& s = plan.stations[k];
            ordered_json row({{"label", s.label},
                                       {"ball", json_of(s.ball)},
                                       {"marker", json_of(s.marker)},
                                       {"hole", json_of(s.hole)},
                                       {"past_m", tidy(s.past_m)},
                                       {"speed_ft", tidy(s.green_speed_ft)},
                                       {"break_m", tidy(s.break_m)},
                                       {"break_se_m", tidy(s.break_se_m)},
                                       {"aim_offset_m", tidy(s.aim_offset_m)},
                                       {"side", to_text(s.side)},
                                       {"chance", tidy(chances[k])},
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
            row.update(json_of_facts(s, speeds[k]));
            out["stations"].push_back(row);
        }
        if (plan.shared_aim)
            out["shared_aim"] = {{"point", json_of(plan.shared_aim->p)}, {"stations", plan.shared_aim->labels}, {"apart_m", tidy(plan.shared_aim->apart_m)}, {"tapes", json_of_tapes(peg_tapes)}};
        out["missing"] = plan.missing;
        out["warnings"] = green.terrain->warnings;
        print_json(out);
        return 0;
    }
    fmt::print("{} at {:.1f} ft, hole at {:.2f}, {:.2f} m\nchances of {}\n\n", lesson, speed_ft, hole.x, hole.y, player.words);
    for (std::size_t k = 0; k < plan.stations.size(); ++k) {
        const PracticeStation& s = plan.stations[k];
        fmt::print("{}  {:.2f} m, {}, pace {:.2f} m, break {} +/- {} cm (90 %)\n", s.label, s.distance_m, to_text(s.side), s.past_m,
                   centimetres(s.break_m), error_words(s.break_se_m));
        fmt::print("   chance {:.0f} %; break, cm, at {}\n", 100 * chances[k], speed_words(speeds[k]));
        fmt::print("   ball   {:.2f}, {:.2f} m: {}\n", s.ball.x, s.ball.y, tape_words(s.tape_ball));
        if (s.wants_marker()) {
            const BreakWidths widths = break_widths(s);
            fmt::print("   marker {:.2f}, {:.2f} m: {}\n", s.marker.x, s.marker.y, tape_words(s.tape_marker));
            fmt::print("          by string: {:.2f} m {} of the hole, square to the line; {:.1f} hole widths, {:.1f} from the edge\n", s.break_m,
                       s.aim_offset_m > 0 ? "right" : "left", widths.holes, widths.edge_holes);
        }
        const StartGate gate = start_gate(s);
        fmt::print("   gate   {:.2f} m ahead on the start line, {:.0f} mm between the tees\n", gate.ahead_m, 1000 * gate.width_m);
        if (!s.note.empty()) fmt::print("   {}\n", s.note);
    }
    if (plan.shared_aim) {
        fmt::print("\nAt {:.2f}, {:.2f} m {}, within {:.0f} cm: {}\n", plan.shared_aim->p.x, plan.shared_aim->p.y, shared_aim_words(*plan.shared_aim),
                   std::max(1.0, std::ceil(100 * plan.shared_aim->apart_m)), tape_words(peg_tapes));
    }
    if (!a.out.empty()) fmt::print("\nwritten {}\n", a.out);
    if (!plan.missing.empty()) fmt::print("\n{}\n", plan.missing);
    fmt::print("\nFor practice only. Count pegs and strings out and in; ask the greenkeeper first.\n");
    return 0;
}

}  // namespace brae::app
