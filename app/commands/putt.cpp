// brae putt: aim and pace for one putt, every solution, how sure they are, and what a player or a putter makes of it.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/putt_words.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/record/green_queries.h"
#include "core/roll/launch.h"
#include "core/roll/skid.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

// The player, where one is described. Throws Error(usage) for half a description.
struct PlayerSigmas { double start_line_rad = 0, launch_rel = 0, read_rad = 0; };
std::optional<PlayerSigmas> player_of(const PuttArguments& a) {
    if (!a.start_line_sigma_deg && !a.pace_sigma_pct && !a.read_sigma_deg) return std::nullopt;
    if (!a.start_line_sigma_deg) throw usage_error("--start-line-sigma: nothing found; degrees are wanted beside the player's other sigmas");
    if (!a.pace_sigma_pct) throw usage_error("--pace-sigma: nothing found; percent of the launch speed is wanted beside the player's other sigmas");
    const auto within = [](double value, double low, double high, const char* option, const char* unit) {
        if (!(value >= low && value <= high))
            throw usage_error(fmt::format("{}: found {:g}, {:g} to {:g} {} are wanted", option, value, low, high, unit));
    };
    within(*a.start_line_sigma_deg, 0.01, 20, "--start-line-sigma", "degrees");
    within(*a.pace_sigma_pct, 0.1, 25, "--pace-sigma", "percent");
    within(a.read_sigma_deg.value_or(0), 0, 20, "--read-sigma", "degrees");
    return PlayerSigmas{radians(*a.start_line_sigma_deg), *a.pace_sigma_pct / 100, radians(a.read_sigma_deg.value_or(0))};
}

// The sigmas are taken as those of the criterion that was chosen for the hole.
template <CaptureModel Model>
PlayerWords player_words(const TerrainModel& terrain, const PuttQuestion& question, const PuttRead& read, const PlayerSigmas& sigmas) {
    MechanicsSpread<Model> spread;
    spread.start_line = StartLineSigma<HoleMechanics<Model>>(sigmas.start_line_rad);
    spread.launch_sigma_rel = sigmas.launch_rel;
    spread.read_sigma_rad = sigmas.read_rad;
    const PuttGround ground = putt_ground(*terrain.surface, terrain.outline, question);
    const Launch meant = launch_of(read);
    RegionOptions options;
    options.capture = Model;
    const HolingRegion region = holing_region(ground, meant, options);
    return {sigmas.start_line_rad, sigmas.launch_rel, sigmas.read_rad, HoleMechanics<Model>::name, chance_to_hole(region, spread, meant), 
            expected_strokes(ground, region, spread, meant, question.green_speed_ft, question.past_m)};
}

void check_putter(const PuttArguments& a) {
    if (a.lie_error_deg && !a.loft_deg) throw usage_error("--lie-error: found without --loft; the loft that the lie turns is wanted");
    if (a.loft_deg && !(*a.loft_deg >= -10 && *a.loft_deg <= 15))
        throw usage_error(fmt::format("--loft: found {:g}, -10 to 15 degrees are wanted", *a.loft_deg));
    if (a.lie_error_deg && !(std::abs(*a.lie_error_deg) <= 30))
        throw usage_error(fmt::format("--lie-error: found {:g}, -30 to 30 degrees are wanted", *a.lie_error_deg));
}

PutterWords putter_words(const PuttArguments& a, const TerrainModel& terrain, const PuttQuestion& question, const PuttRead& read) {
    PutterStrike strike;
    strike.loft = radians(*a.loft_deg);
    const auto ball_speed = [&](double launch) { return ball_speed_for_launch(launch, question.green_speed_ft, strike); };
    PutterWords out;
    out.loft_deg = *a.loft_deg;
    out.launch_angle_deg = degrees(launch_angle(strike));
    out.spin_ratio = launch_spin(strike);
    out.ball_speed_mps = ball_speed(read.launch_mps);
    if (read.has_window) {
        out.slow_ball_mps = ball_speed(read.window.slow_mps);
        out.fast_ball_mps = ball_speed(read.window.fast_mps);
    }
    const SkidPath skidded = skid_on_surface(*terrain.surface, question.ball, read.direction, out.ball_speed_mps, strike);
    out.skid_length_m = skidded.length_m;
    out.skid_time_s = skidded.time_s;
    out.jump_height_m = skidded.jump_height_m;
    if (a.lie_error_deg) {
        const double turn = face_turn(strike.loft, radians(*a.lie_error_deg));
        out.lie_error_deg = a.lie_error_deg;
        out.face_turn_deg = degrees(turn);
        out.face_turn_m = distance(question.ball, question.hole) * std::tan(turn);
    }
    return out;
}

}  // namespace

int run_putt(const PuttArguments& a) {
    const std::optional<PlayerSigmas> player = player_of(a);
    check_putter(a);
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

    // What else was asked, for each solution.
    std::vector<ReadWords> solutions;
    for (const PuttRead& read : answer.solutions) {
        terminal.progress().step(0.5);
        ReadWords words;
        words.read = read;
        if (a.loft_deg) words.putter = putter_words(a, terrain, question, read);
        if (read.has_window) {
            words.slow_ball_mps = words.putter ? words.putter->slow_ball_mps : ball_speed_for_launch(read.window.slow_mps, speed.speed_ft);
            words.fast_ball_mps = words.putter ? words.putter->fast_ball_mps : ball_speed_for_launch(read.window.fast_mps, speed.speed_ft);
        }
        if (player) {
            words.player = options.capture == CaptureModel::rim ? player_words<CaptureModel::rim>(terrain, question, read, *player)
                                                                : player_words<CaptureModel::free_fall>(terrain, question, read, *player);
        }
        solutions.push_back(std::move(words));
    }
    std::optional<BestPace> best;
    if (a.best_pace) {
        BestPaceOptions pace;
        pace.capture = options.capture;
        best = find_best_pace(*terrain.surface, terrain.outline, question, pace);
    }

    terminal.finish();
    if (a.json) {
        nlohmann::ordered_json out = json_of_read(solutions.front());
        out["capture"] = to_text(answer.capture);
        out["outline"] = to_text(terrain.outline.source());
        out["path"] = json_of_path(answer.solutions.front().path);
        out["past_m"] = tidy(a.past_m);
        out["speed_ft"] = tidy(speed.speed_ft);
        out["speed_sigma_ft"] = tidy(speed.sigma_ft);
        if (best) out["best_pace"] = json_of_best_pace(*best);
        out["warnings"] = terrain.warnings;
        out["solutions"] = nlohmann::ordered_json::array();
        for (const ReadWords& words : solutions) out["solutions"].push_back(json_of_read(words));
        print_json(out);
        return 0;
    }
    for (std::size_t k = 0; k < solutions.size(); ++k) {
        if (solutions.size() > 1) fmt::print("{}solution {} of {}\n", k ? "\n" : "", k + 1, solutions.size());
        print_read(solutions[k], answer.capture, a.pace_error_m);
    }
    if (best) {
        if (solutions.size() > 1) fmt::print("\n");
        print_best_pace(*best);
    }
    return 0;
}

}  // namespace brae::app
