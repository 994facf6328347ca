// brae finished: what a ball that came to rest tells of the player's read, start line and pace.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/record/green_queries.h"
#include "core/solve/finished_ball.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

using nlohmann::ordered_json;

std::string to_text(RevealStatus status) {
    switch (status) {
        case RevealStatus::told: return "told";
        case RevealStatus::several: return "several";
        case RevealStatus::side_disagrees: return "side-disagrees";
        case RevealStatus::sensitive: return "sensitive";
        case RevealStatus::touched_hole: return "touched-hole";
        case RevealStatus::holed: return "holed";
        case RevealStatus::off_green: return "off-green";
        case RevealStatus::no_launch: return "no-launch";
        case RevealStatus::hardly_moved: break;
    }
    return "hardly-moved";
}

// The aim of a player who aimed over a point: where that line crosses the line through the hole square to the putt.
double aim_over(Vec2 ball, Vec2 hole, Vec2 marker) {
    const Vec2 along = unit(hole - ball), line = marker - ball;
    const double ahead = dot(line, along), away = distance(ball, hole);
    if (!(ahead > 1e-3 * norm(line)) || !(norm(line) > 0.01))
        throw usage_error("--marker: found a point that is not ahead of the ball, one on the start line toward the hole is wanted");
    return away * dot(line, right_of(along)) / ahead;
}

ordered_json json_of(const std::optional<Told>& told, bool has_error) {
    if (!told) return nullptr;
    return {{"value", tidy(told->value)}, {"se", has_error ? ordered_json(tidy(told->se)) : ordered_json(nullptr)}};
}

ordered_json json_of(const RevealedLaunch& l) {
    ordered_json passed{{"side", to_text(l.pass.side)}, {"hand", to_text(l.pass.hand)}, {"certain", l.pass.certain}};
    if (l.pass.hand == PassSide::short_of) passed["short_m"] = tidy(std::max(0.0, -l.pass.past_m.value));
    else {
        passed["offset_m"] = json_of(l.pass.crossing_m, l.has_error);
        passed["past_m"] = json_of(l.pass.past_m, l.has_error);
    }
    return {{"launch_mps", tidy(l.launch_mps)},
            {"launch_se_mps", l.has_error ? ordered_json(tidy(l.launch_se_mps)) : ordered_json(nullptr)},
            {"ball_speed_mps", tidy(l.ball_speed_mps)},
            {"start_bearing_deg", tidy(bearing_deg(l.direction))},
            {"direction_se_deg", l.has_error ? ordered_json(tidy(l.direction_se_deg)) : ordered_json(nullptr)},
            {"passed", passed},
            {"touched_hole", l.touched_hole},
            {"direction_error_deg", json_of(l.direction_error_deg, l.has_error)},
            {"read_error_deg", json_of(l.read_error_deg, l.has_error)},
            {"read_error_m", json_of(l.read_error_m, l.has_error)},
            {"start_line_error_deg", json_of(l.start_line_error_deg, l.has_error)},
            {"start_line_error_m", json_of(l.start_line_error_m, l.has_error)},
            {"pace_error_mps", json_of(l.pace_error_mps, l.has_error)},
            {"pace_error_past_m", json_of(l.pace_error_past_m, l.has_error)}};
}

// "1.2 +/- 0.4 degrees right, 4.1 +/- 1.3 cm at the hole". Without a standard error only the figure.
std::string sideways(const Told& deg, const std::optional<Told>& m, bool has_error) {
    const auto with = [&](double value, double se, int places) {
        return has_error ? fmt::format("{:.{}f} +/- {:.{}f}", std::abs(value), places, se, places) : fmt::format("{:.{}f}", std::abs(value), places);
    };
    // A figure that rounds to nothing has no side.
    if (std::abs(deg.value) < 0.05) return with(deg.value, deg.se, 1) + " degrees, on the line";
    std::string out = with(deg.value, deg.se, 1) + " degrees " + (deg.value > 0 ? "right" : "left");
    if (m) out += ", " + with(100 * m->value, 100 * m->se, 0) + " cm at the hole";
    return out;
}

void print_launch(const RevealedLaunch& l) {
    const auto speed = [&](double value, double se) {
        return l.has_error ? fmt::format("{:.2f} +/- {:.2f}", value, se) : fmt::format("{:.2f}", value);
    };
    if (l.read_error_deg) fmt::print("read         {} of the true aim\n", sideways(*l.read_error_deg, l.read_error_m, l.has_error));
    if (l.start_line_error_deg)
        fmt::print("start line   {} of the chosen aim\n", sideways(*l.start_line_error_deg, l.start_line_error_m, l.has_error));
    else if (l.direction_error_deg)
        fmt::print("direction    {} of the true aim, read and start line together\n", sideways(*l.direction_error_deg, std::nullopt, l.has_error));
    if (l.pace_error_mps)
        fmt::print("pace         {} m/s too {}{}\n", speed(std::abs(l.pace_error_mps->value), l.pace_error_mps->se),
                   l.pace_error_mps->value > 0 ? "hard" : "soft",
                   l.pace_error_past_m ? fmt::format(", {} m of pace", speed(std::abs(l.pace_error_past_m->value), l.pace_error_past_m->se)) : "");
    fmt::print("launch       {} m/s rolling, {:.2f} m/s off the face, bearing {:.1f} degrees\n", speed(l.launch_mps, l.launch_se_mps), l.ball_speed_mps,
               bearing_deg(l.direction));
    const PassReport& p = l.pass;
    if (p.hand == PassSide::short_of) {
        fmt::print("passed       not: short by {:.2f} m{}\n", std::max(0.0, -p.past_m.value), p.certain ? "" : ", though that is uncertain");
        return;
    }
    const std::string side = p.side == PassSide::high || p.side == PassSide::low ? to_text(p.side) + " side, " : std::string();
    fmt::print("passed       {}{:.0f} cm {} of the centre{}\n", side, 100 * std::abs(p.crossing_m.value), to_text(p.hand),
               p.certain ? "" : ", though the side is uncertain");
}

}  // namespace

int run_finished(const FinishedArguments& a) {
    // One way to say how it ended.
    if ((a.rest.empty() ? 0 : 1) + (a.left_at.empty() ? 0 : 1) + (a.holed ? 1 : 0) != 1)
        throw usage_error("--rest: one of --rest X,Y, --left-at X,Y and --holed is wanted to say where the ball ended");
    if (a.holed && (!a.passed.empty() || a.rest_sigma_m)) throw usage_error("--holed: found with --passed or --rest-sigma; a holed ball passed nothing and rests in the hole");
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const TerrainModel& terrain = *green.terrain;
    const SpeedOfDay speed = speed_of_day(green, a.speed_ft);

    FinishedBall ball;
    ball.ball = parse_point(a.ball, "--ball", terrain.frame);
    ball.hole = parse_hole(a.hole, green);
    ball.green_speed_ft = speed.speed_ft;
    ball.past_m = a.past_m;
    ball.finish = a.holed ? BallFinish::holed : a.rest.empty() ? BallFinish::off_green : BallFinish::on_green;
    if (!a.holed) ball.stop = parse_point(a.rest.empty() ? a.left_at : a.rest, a.rest.empty() ? "--left-at" : "--rest", terrain.frame);
    if (ball.finish == BallFinish::off_green && terrain.outline.signed_distance(ball.stop) > 0.3)
        throw usage_error(fmt::format("--left-at: found a place {:.2f} m inside the green, where the ball crossed the edge is wanted; a ball at rest is --rest",
                                      terrain.outline.signed_distance(ball.stop)));
    if (a.aim_m && std::abs(*a.aim_m) > 3 * distance(ball.ball, ball.hole))
        throw usage_error(fmt::format("--aim: found {:g} m beside the hole for a putt of {:.2f} m; metres to the right (left: minus) are wanted", *a.aim_m,
                                      distance(ball.ball, ball.hole)));
    ball.stop_sigma_m = a.rest_sigma_m;
    ball.chosen_aim_offset_m = a.aim_m;
    ball.chosen_aim_sigma_m = a.aim_sigma_m;
    if (!a.marker.empty()) ball.chosen_aim_offset_m = aim_over(ball.ball, ball.hole, parse_point(a.marker, "--marker", terrain.frame));
    if (a.passed == "high") ball.seen = PassSide::high;
    if (a.passed == "low") ball.seen = PassSide::low;
    if (a.passed == "left") ball.seen = PassSide::left;
    if (a.passed == "right") ball.seen = PassSide::right;
    if (a.passed == "short") ball.seen = PassSide::short_of;

    RevealOptions options;
    options.error = &terrain.error;
    options.green_speed_sigma_ft = speed.sigma_ft;
    const FinishedBallReveal reveal = reveal_finished_ball(*terrain.surface, terrain.outline, ball, options);
    // Neither a launch nor a limit of one: nothing is told at all.
    if (reveal.launches.empty() && !reveal.range) throw Error(reveal.sentence);

    terminal.finish();
    if (a.json) {
        ordered_json out{{"status", to_text(reveal.status)},
                         {"told", reveal.status == RevealStatus::told},
                         {"sentence", reveal.sentence},
                         {"chosen_aim_m", ball.chosen_aim_offset_m ? ordered_json(tidy(*ball.chosen_aim_offset_m)) : ordered_json(nullptr)},
                         {"read", nullptr},
                         {"range", nullptr},
                         {"launches", ordered_json::array()},
                         {"speed_ft", tidy(speed.speed_ft)},
                         {"speed_sigma_ft", tidy(speed.sigma_ft)},
                         {"past_m", tidy(a.past_m)},
                         {"warnings", terrain.warnings}};
        if (reveal.read)
            out["read"] = {{"aim_offset_m", reveal.read->aim_offset_m ? ordered_json(tidy(*reveal.read->aim_offset_m)) : ordered_json(nullptr)},
                           {"aim_bearing_deg", tidy(reveal.read->aim_bearing_deg)},
                           {"launch_mps", tidy(reveal.read->launch_mps)}};
        if (reveal.range)
            out["range"] = {{"left_deg", tidy(reveal.range->left_deg)},
                            {"right_deg", tidy(reveal.range->right_deg)},
                            {"slow_mps", tidy(reveal.range->slow_mps)},
                            {"fast_mps", reveal.range->fast_mps ? ordered_json(tidy(*reveal.range->fast_mps)) : ordered_json(nullptr)}};
        for (const RevealedLaunch& l : reveal.launches) out["launches"].push_back(json_of(l));
        print_json(out);
        return 0;
    }
    fmt::print("{}       {}\n", reveal.status == RevealStatus::told ? "told  " : "answer", reveal.sentence);
    // Where it lies, as one stands behind the ball.
    if (!a.holed) {
        const Vec2 along = unit(ball.hole - ball.ball), from_hole = ball.stop - ball.hole;
        const double past = dot(from_hole, along), right = dot(from_hole, right_of(along));
        std::string side;
        if (reveal.read && reveal.read->aim_offset_m && std::abs(*reveal.read->aim_offset_m) > 0.005 && std::abs(right) > 0.005)
            side = right * *reveal.read->aim_offset_m > 0 ? ", on the high side" : ", on the low side";
        fmt::print("ended        {:.2f} m {} the hole, {:.0f} cm {} of the line{}\n", std::abs(past), past < 0 ? "short of" : "past", 100 * std::abs(right),
                   right > 0 ? "right" : "left", side);
    }
    for (std::size_t k = 0; k < reveal.launches.size(); ++k) {
        if (reveal.launches.size() > 1) fmt::print("\nlaunch {} of {}\n", k + 1, reveal.launches.size());
        print_launch(reveal.launches[k]);
    }
    return 0;
}

}  // namespace brae::app
