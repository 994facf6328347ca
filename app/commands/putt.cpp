// brae putt: aim and pace for one putt, every solution, and how sure they are.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/record/green_queries.h"
#include "core/solve/putt.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

using nlohmann::ordered_json;

ordered_json number_or_null(const std::optional<double>& value) {
    return value ? ordered_json(tidy(*value)) : ordered_json(nullptr);
}

ordered_json json_of_read(const PuttRead& r) {
    ordered_json out{{"aim_offset_m", number_or_null(r.aim_offset_m)},
                     {"aim_side", to_text(r.aim_side)},
                     {"aim_bearing_deg", tidy(r.aim_bearing_deg)},
                     {"break_m", r.aim_offset_m ? ordered_json(tidy(std::abs(*r.aim_offset_m))) : ordered_json(nullptr)},
                     {"side", to_text(r.side)},
                     {"launch_mps", tidy(r.launch_mps)},
                     {"ball_speed_mps", tidy(r.ball_speed_mps)},
                     {"past_on_slope_m", number_or_null(r.past_on_slope_m)},
                     {"time_s", tidy(r.time_s)},
                     {"length_m", tidy(r.length_m)},
                     {"hole_speed_mps", tidy(r.hole_speed_mps)},
                     {"entry_bearing_deg", tidy(r.entry_bearing_deg)},
                     {"holing_window", nullptr},
                     {"aim_offset_se_m", tidy(r.aim_offset_se_m)},
                     {"survey_se_m", tidy(r.survey_se_m)},
                     {"speed_se_m", tidy(r.speed_se_m)},
                     {"pace_se_m", tidy(r.pace_se_m)}};
    if (r.has_window)
        out["holing_window"] = {{"left_deg", tidy(r.window.left_deg)},
                                {"right_deg", tidy(r.window.right_deg)},
                                {"slow_mps", tidy(r.window.slow_mps)},
                                {"fast_mps", tidy(r.window.fast_mps)}};
    return out;
}

void print_read(const PuttRead& r, CaptureModel capture, double pace_error_m) {
    const std::string error = fmt::format("standard error {:.1f} cm (survey {:.1f}, green speed {:.1f})", 100 * r.aim_offset_se_m,
                                          100 * r.survey_se_m, 100 * r.speed_se_m);
    if (r.aim_offset_m && r.aim_side == AimSide::straight)
        fmt::print("aim          straight at the hole, {}\n", error);
    else if (r.aim_offset_m)
        fmt::print("aim          {:.1f} cm {} of the hole ({:.1f} in), {}\n", 100 * std::abs(*r.aim_offset_m), to_text(r.aim_side),
                   inches_from_metres(std::abs(*r.aim_offset_m)), error);
    else
        fmt::print("aim          away from the hole, bearing {:.1f} degrees\n", r.aim_bearing_deg);
    fmt::print("putt         {}, start bearing {:.1f}, entry bearing {:.1f} degrees\n", to_text(r.side), r.aim_bearing_deg,
               r.entry_bearing_deg);
    fmt::print("launch       {:.2f} m/s rolling, {:.2f} m/s off the face\n", r.launch_mps, r.ball_speed_mps);
    fmt::print("path         {:.2f} m in {:.1f} s, {:.2f} m/s at the hole\n", r.length_m, r.time_s, r.hole_speed_mps);
    if (pace_error_m > 0)
        fmt::print("pace error   {:.2f} m of pace are {:.1f} cm of aim\n", pace_error_m, 100 * r.pace_se_m);
    if (r.past_on_slope_m)
        fmt::print("missed       would run {:.2f} m past on this slope\n", *r.past_on_slope_m);
    else
        fmt::print("missed       would not stop on the green\n");
    if (!r.has_window)
        fmt::print("holes out    not at this pace: too fast for the hole to take it ({})\n", to_text(capture));
    else
        fmt::print("holes out    from {:.2f} degrees left to {:.2f} right, and from {:.2f} to {:.2f} m/s ({})\n",
                   -r.window.left_deg, r.window.right_deg, r.window.slow_mps, r.window.fast_mps, to_text(capture));
}

}  // namespace

int run_putt(const PuttArguments& a) {
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const TerrainModel& terrain = *green.terrain;

    const SpeedOfDay speed = speed_of_day(green, a.speed_ft);
    const PuttQuestion question{parse_point(a.ball, "--ball", terrain.frame), parse_hole(a.hole, green), speed.speed_ft, a.past_m};
    PuttOptions options;
    options.error = &terrain.error;
    options.green_speed_sigma_ft = speed.sigma_ft;
    options.pace_sigma_m = a.pace_error_m;
    options.capture = capture_model(a.capture);
    const PuttAnswer answer = solve_putt(*terrain.surface, terrain.outline, question, options);
    if (answer.solutions.empty()) throw Error(answer.why_none);

    terminal.finish();
    if (a.json) {
        ordered_json out = json_of_read(answer.solutions.front());
        out["capture"] = to_text(answer.capture);
        out["outline"] = to_text(terrain.outline.source());
        out["path"] = json_of_path(answer.solutions.front().path);
        out["speed_ft"] = tidy(speed.speed_ft);
        out["warnings"] = terrain.warnings;
        out["solutions"] = ordered_json::array();
        for (const PuttRead& r : answer.solutions) out["solutions"].push_back(json_of_read(r));
        print_json(out);
        return 0;
    }
    for (std::size_t k = 0; k < answer.solutions.size(); ++k) {
        if (answer.solutions.size() > 1) fmt::print("{}solution {} of {}\n", k ? "\n" : "", k + 1, answer.solutions.size());
        print_read(answer.solutions[k], answer.capture, a.pace_error_m);
    }
    return 0;
}

}  // namespace brae::app
