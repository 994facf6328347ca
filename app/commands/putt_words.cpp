#include "app/commands/putt_words.h"

#include "app/commands/terminal.h"
#include "core/base/units.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

using nlohmann::ordered_json;

ordered_json number_or_null(const std::optional<double>& value) {
    return value ? ordered_json(tidy(*value)) : ordered_json(nullptr);
}

// "12.3 cm left of the hole (4.8 in)", "straight at the hole".
std::string aim_words(const std::optional<double>& offset_m) {
    if (!offset_m) return "away from the hole";
    if (std::abs(*offset_m) < 0.005) return "straight at the hole";
    return fmt::format("{:.1f} cm {} of the hole ({:.1f} in)", 100 * std::abs(*offset_m), *offset_m > 0 ? "right" : "left",
                       inches_from_metres(std::abs(*offset_m)));
}

// "0.41 degrees on the low side to 0.68 on the high side", or left and right.
std::string width_words(double left_deg, double right_deg, const std::optional<double>& low_deg, const std::optional<double>& high_deg) {
    if (low_deg && high_deg) return fmt::format("{:.2f} degrees to the low side to {:.2f} to the high side", *low_deg, *high_deg);
    return fmt::format("{:.2f} degrees left to {:.2f} right", left_deg, right_deg);
}

ordered_json json_of_player(const PlayerWords& p) {
    return {{"chance", tidy(p.chance.chance)},
            {"chance_error", tidy(p.chance.error)},
            {"expected_strokes", tidy(p.strokes.strokes)},
            {"one_putt", tidy(p.strokes.one)},
            {"two_putts", tidy(p.strokes.two)},
            {"three_putts", tidy(p.strokes.three)},
            {"four_putts", tidy(p.strokes.more)},
            {"mean_leave_m", tidy(p.strokes.mean_leave_m)},
            {"left_green", tidy(p.strokes.left_green)},
            {"start_line_sigma_deg", tidy(degrees(p.start_line_sigma_rad))},
            {"pace_sigma_pct", tidy(100 * p.launch_sigma_rel)},
            {"read_sigma_deg", tidy(degrees(p.read_sigma_rad))},
            {"criterion", p.criterion}};
}

ordered_json json_of_putter(const PutterWords& p) {
    ordered_json out{{"loft_deg", tidy(p.loft_deg)},
                     {"launch_angle_deg", tidy(p.launch_angle_deg)},
                     {"spin_ratio", tidy(p.spin_ratio)},
                     {"skid_length_m", tidy(p.skid_length_m)},
                     {"skid_time_s", tidy(p.skid_time_s)},
                     {"jump_height_m", tidy(p.jump_height_m)}};
    if (p.lie_error_deg) {
        out["lie_error_deg"] = tidy(*p.lie_error_deg);
        out["face_turn_deg"] = number_or_null(p.face_turn_deg);
        out["face_turn_m"] = number_or_null(p.face_turn_m);
    }
    return out;
}

ordered_json json_of_row(const PaceRow& row) {
    ordered_json out{{"past_m", tidy(row.past_m)}};
    if (!row.has_window) return out;
    out["forgiveness"] = tidy(row.forgiveness);
    out["width_deg"] = tidy(row.width_deg());
    out["aim_offset_m"] = number_or_null(row.aim_offset_m);
    out["launch_mps"] = tidy(row.launch_mps);
    out["ball_speed_mps"] = tidy(row.ball_speed_mps);
    out["left_deg"] = tidy(-row.left_deg);
    out["right_deg"] = tidy(row.right_deg);
    out["low_side_deg"] = number_or_null(row.low_deg);
    out["high_side_deg"] = number_or_null(row.high_deg);
    out["slow_mps"] = tidy(row.slow_mps);
    out["fast_mps"] = tidy(row.fast_mps);
    out["slow_ball_mps"] = tidy(row.ball_slow_mps);
    out["fast_ball_mps"] = tidy(row.ball_fast_mps);
    return out;
}

void print_player(const PlayerWords& p) {
    fmt::print("player       holes {:.0f} % of them; {:.2f} strokes expected ({:.0f} % two putts, {:.1f} % three or more)\n",
               100 * p.chance.chance, p.strokes.strokes, 100 * p.strokes.two, 100 * (p.strokes.three + p.strokes.more));
    fmt::print("             start line {:.2g}, read {:.2g} degrees, launch {:.2g} % (1 sigma); misses end {:.2f} m from the hole on average\n",
               degrees(p.start_line_sigma_rad), degrees(p.read_sigma_rad), 100 * p.launch_sigma_rel, p.strokes.mean_leave_m);
    if (p.strokes.left_green > 0.0005) fmt::print("             {:.1f} % leave the green\n", 100 * p.strokes.left_green);
}

void print_putter(const PutterWords& p) {
    fmt::print("putter       loft {:g} degrees: leaves at {:.1f}, jumps {:.1f} mm, rolls after {:.2f} m and {:.2f} s\n", p.loft_deg,
               p.launch_angle_deg, 1000 * p.jump_height_m, p.skid_length_m, p.skid_time_s);
    if (!p.face_turn_deg) return;
    // Which hand that is depends on the player.
    if (std::abs(*p.face_turn_deg) < 0.005) fmt::print("lie          does not turn the face\n");
    else
        fmt::print("lie          {:g} degrees {} turns the face {:.2f} degrees to the {} side ({} for a right-handed player), {:.1f} cm at the hole\n",
                   std::abs(*p.lie_error_deg), *p.lie_error_deg > 0 ? "toe up" : "toe down", std::abs(*p.face_turn_deg),
                   *p.face_turn_deg > 0 ? "heel" : "toe", *p.face_turn_deg > 0 ? "left" : "right", 100 * std::abs(*p.face_turn_m));
}

}  // namespace

WindowSides sides_of(const PuttRead& read) {
    if (!read.has_window || read.aim_side == AimSide::straight) return {};
    // The high side is the one the player aims to.
    const bool right = read.aim_side == AimSide::right;
    return {right ? -read.window.left_deg : read.window.right_deg, right ? read.window.right_deg : -read.window.left_deg};
}

ordered_json json_of_read(const ReadWords& words) {
    const PuttRead& r = words.read;
    ordered_json out{{"aim_offset_m", number_or_null(r.aim_offset_m)},
                     {"aim_side", to_text(r.aim_side)},
                     {"aim_bearing_deg", tidy(r.aim_bearing_deg)},
                     {"break_m", r.aim_offset_m ? ordered_json(tidy(std::abs(*r.aim_offset_m))) : ordered_json(nullptr)},
                     {"side", to_text(r.side)},
                     {"launch_mps", tidy(r.launch_mps)},
                     {"ball_speed_mps", tidy(words.putter ? words.putter->ball_speed_mps : r.ball_speed_mps)},
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
    if (r.has_window) {
        const WindowSides sides = sides_of(r);
        out["holing_window"] = {{"left_deg", tidy(r.window.left_deg)},
                                {"right_deg", tidy(r.window.right_deg)},
                                {"low_side_deg", number_or_null(sides.low_deg)},
                                {"high_side_deg", number_or_null(sides.high_deg)},
                                {"slow_mps", tidy(r.window.slow_mps)},
                                {"fast_mps", tidy(r.window.fast_mps)},
                                {"slow_ball_mps", tidy(words.slow_ball_mps)},
                                {"fast_ball_mps", tidy(words.fast_ball_mps)}};
    }
    if (words.player) out["player"] = json_of_player(*words.player);
    if (words.putter) out["putter"] = json_of_putter(*words.putter);
    return out;
}

ordered_json json_of_best_pace(const BestPace& best) {
    ordered_json out = best.best ? json_of_row(*best.best) : ordered_json::object();
    out["capture"] = to_text(best.capture);
    if (best.best) {
        out["at_end"] = best.at_end;
        out["widest_past_m"] = tidy(best.widest->past_m);
    }
    out["rows"] = ordered_json::array();
    for (const PaceRow& row : best.rows) out["rows"].push_back(json_of_row(row));
    if (!best.why_none.empty()) out["why_none"] = best.why_none;
    return out;
}

void print_read(const ReadWords& words, CaptureModel capture, double pace_error_m) {
    const PuttRead& r = words.read;
    fmt::print("aim          {}, standard error {:.1f} cm (survey {:.1f}, green speed {:.1f})\n", aim_words(r.aim_offset_m),
               100 * r.aim_offset_se_m, 100 * r.survey_se_m, 100 * r.speed_se_m);
    fmt::print("putt         {}, start bearing {:.1f}, entry bearing {:.1f} degrees\n", to_text(r.side), r.aim_bearing_deg, r.entry_bearing_deg);
    fmt::print("launch       {:.2f} m/s rolling, {:.2f} m/s off the face\n", r.launch_mps,
               words.putter ? words.putter->ball_speed_mps : r.ball_speed_mps);
    if (words.putter) print_putter(*words.putter);
    fmt::print("path         {:.2f} m in {:.1f} s, {:.2f} m/s at the hole\n", r.length_m, r.time_s, r.hole_speed_mps);
    if (pace_error_m > 0)
        fmt::print("pace error   {:.2f} m of pace are {:.1f} cm of aim\n", pace_error_m, 100 * r.pace_se_m);
    if (r.past_on_slope_m)
        fmt::print("missed       would run {:.2f} m past on this slope\n", *r.past_on_slope_m);
    else
        fmt::print("missed       would not stop on the green\n");
    if (!r.has_window) {
        fmt::print("holes out    not at this pace: too fast for the hole to take it ({})\n", to_text(capture));
    } else {
        const WindowSides sides = sides_of(r);
        fmt::print("holes out    from {} of that line ({})\n", width_words(-r.window.left_deg, r.window.right_deg, sides.low_deg, sides.high_deg),
                   to_text(capture));
        fmt::print("             and from {:.2f} to {:.2f} m/s rolling, {:.2f} to {:.2f} m/s off the face\n", r.window.slow_mps, r.window.fast_mps,
                   words.slow_ball_mps, words.fast_ball_mps);
    }
    if (words.player) print_player(*words.player);
}

void print_best_pace(const BestPace& best) {
    if (!best.best) {
        fmt::print("best pace    none: {}\n", best.why_none);
        return;
    }
    const PaceRow& b = *best.best;
    fmt::print("best pace    {:.0f} cm past the hole on level ground{}\n", 100 * b.past_m,
               !best.at_end ? "" : b.past_m < 0.05 ? ": the slower it comes, the more it forgives" : ", at the end of the range that was searched");
    fmt::print("             aim {}, launch {:.2f} m/s rolling, {:.2f} m/s off the face\n", aim_words(b.aim_offset_m), b.launch_mps, b.ball_speed_mps);
    fmt::print("             holes out from {}, and from {:.2f} to {:.2f} m/s\n", width_words(b.left_deg, b.right_deg, b.low_deg, b.high_deg),
               b.slow_mps, b.fast_mps);
    if (std::abs(best.widest->past_m - b.past_m) > 0.05)
        fmt::print("             in direction alone {:.0f} cm past is widest, {:.2f} degrees\n", 100 * best.widest->past_m, best.widest->width_deg());
}

}  // namespace brae::app
