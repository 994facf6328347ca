// brae roll: one ball at a given direction and speed, with the assumptions that were asked for.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/record/green_queries.h"
#include "core/roll/capture_sensitivity.h"
#include "core/roll/launch.h"
#include "core/roll/rolling.h"
#include "core/survey/read_outline.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

// Resistance that varies, with a sentence for each assumption.
struct Assumed {
    Outline cut;
    std::optional<ResistanceOptions> resistance;
    std::vector<std::string> sentences;
};

void take_resistance(const RollArguments& a, const TerrainModel& terrain, Assumed& out, std::vector<std::string>& warnings) {
    if (a.grain_bearing_deg.has_value() != a.grain_strength.has_value())
        throw usage_error("--grain-bearing: grain needs both --grain-bearing and --grain-strength");
    if (a.outside_factor.has_value() == a.cut.empty())
        throw usage_error("--cut: slower ground outside the cut needs both --cut and --outside-factor");
    ResistanceOptions r;
    if (a.grain_strength) {
        r.grain_strength = *a.grain_strength;
        r.grain_bearing_deg = *a.grain_bearing_deg;
        out.sentences.push_back(fmt::format("grain lies toward {:g} degrees: resistance is {:g} % less with it and more against it",
                                            *a.grain_bearing_deg, 100 * *a.grain_strength));
    }
    if (a.speed_exponent) {
        r.speed_exponent = *a.speed_exponent;
        out.sentences.push_back(fmt::format("resistance follows speed to the power {:g}, and a ramp still reads the same", *a.speed_exponent));
    }
    if (a.outside_factor) {
        out.cut = read_outline(a.cut, terrain.frame, terrain.outline.box(), warnings);
        r.outside_factor = *a.outside_factor;
        r.cut = &out.cut;
        out.sentences.push_back(fmt::format("outside the cut resistance is {:g} times as large", *a.outside_factor));
    }
    check_resistance(r);
    if (!out.sentences.empty()) out.resistance = r;
}

PutterStrike strike_of(const RollArguments& a) {
    if (!a.ball_speed_mps && (a.loft_deg || a.skid_friction))
        throw usage_error(fmt::format("{}: found without --ball-speed, which starts the skid that it is about", a.loft_deg ? "--loft" : "--skid-friction"));
    PutterStrike strike;
    if (a.loft_deg) strike.loft = radians(*a.loft_deg);
    if (a.skid_friction) strike.friction = *a.skid_friction;
    return strike;
}

}  // namespace

int run_roll(const RollArguments& a) {
    if (a.launch_mps.has_value() == a.ball_speed_mps.has_value()) throw usage_error("--launch: one of --launch and --ball-speed is wanted");
    const PutterStrike strike = strike_of(a);
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const TerrainModel& terrain = *green.terrain;
    const SplineSurface& surface = *terrain.surface;
    std::vector<std::string> warnings = terrain.warnings;

    const double speed_ft = speed_of_day(green, a.speed_ft).speed_ft;
    const Vec2 ball = parse_point(a.ball, "--ball", terrain.frame);
    RollOptions options;
    options.covered = a.covered;
    options.capture = capture_model(a.capture);
    if (a.hole.empty() && (a.covered || !a.capture.empty())) throw usage_error(fmt::format("{}: found without --hole; the hole is wanted", a.covered ? "--covered" : "--capture"));
    if (!a.hole.empty()) options.hole = parse_hole(a.hole, green);
    if (options.hole && distance(ball, *options.hole) < kHoleRadius)
        throw usage_error(fmt::format("--ball: found {:.3f} m from the hole's centre, at least {:.3f} m are wanted", distance(ball, *options.hole), kHoleRadius));
    for (const auto& [speed, option] : {std::pair{a.launch_mps, "--launch"}, std::pair{a.ball_speed_mps, "--ball-speed"}})
        if (speed && !(*speed > 0)) throw usage_error(fmt::format("{}: found {:g}, a speed over 0 m/s is wanted", option, *speed));
    Assumed assumed;
    std::vector<std::string> notes;
    take_resistance(a, terrain, assumed, notes);
    options.resistance = assumed.resistance;

    // A struck ball jumps and skids first; it rolls from where the slip is gone.
    Vec2 from = ball, direction = direction_of_bearing(a.toward_deg);
    double launch = a.launch_mps.value_or(0);
    std::optional<SkidPath> skid;
    if (a.ball_speed_mps) {
        if (!terrain.outline.contains(ball)) throw usage_error(fmt::format("--ball: {:.3f},{:.3f} is not on the green", ball.x, ball.y));
        skid = skid_on_surface(surface, ball, direction, *a.ball_speed_mps, strike);
        if (!skid->rolls || !terrain.outline.contains(skid->rolling.p)) throw Error("the ball leaves the green before it rolls");
        from = skid->rolling.p;
        direction = skid->rolling.v;
        launch = skid->rolling_mps;
        if (options.hole && dot(*options.hole - ball, direction) > 0 && distance(*options.hole, ball) < skid->length_m + kHoleRadius)
            notes.push_back("the hole lies where the ball still skids, and a skidding ball is not caught by it");
        assumed.sentences.push_back(fmt::format("struck with {:g} degrees of loft, sliding friction {:g}", degrees(strike.loft), strike.friction));
    }
    RollPath path = roll(surface, terrain.outline, from, direction, launch, speed_ft, options);
    if (skid) {
        for (RollSample& s : path.samples) s.t += skid->time_s;
        if (path.pass) path.pass->t += skid->time_s;
        path.samples.insert(path.samples.begin(), {{ball.x, ball.y, surface.height(ball.x, ball.y)}, 0, *a.ball_speed_mps});
        path.length_m += skid->length_m;
        path.time_s += skid->time_s;
    }

    // A ball that stops before the line through the hole square to the ball-hole line is short.
    double short_m = 0, right_m = 0;
    if (options.hole && distance(ball, *options.hole) > 0) {
        const Vec2 along = unit(*options.hole - ball), missing = *options.hole - path.stop();
        short_m = dot(missing, along);
        right_m = -dot(missing, right_of(along));
    }
    const bool crosses = path.end == RollEnd::holed || short_m <= 0;

    // Does the verdict rest on how the ball bounces? The meeting itself is simulated for this one roll.
    const bool judged = options.hole && !a.covered;
    std::optional<CaptureSensitivity> bounce;
    if (judged && path.pass && path.pass->approach) bounce = capture_sensitivity(*path.pass->approach);
    bool uncertain = judged && path.pass && (path.pass->uncertain || (bounce && bounce->uncertain));
    // So is a ball that the rim's table and the simulation behind it judge differently, within the table's error.
    if (bounce && path.capture == CaptureModel::rim && bounce->drops[1] != (path.end == RollEnd::holed)) uncertain = true;

    terminal.finish();
    if (a.json) {
        warnings.insert(warnings.end(), notes.begin(), notes.end());
        nlohmann::ordered_json out{{"stop", {tidy(path.stop().x), tidy(path.stop().y)}},
                                   {"length_m", tidy(path.length_m)},
                                   {"time_s", tidy(path.time_s)},
                                   {"end", to_text(path.end)},
                                   {"path", json_of_path(path)},
                                   {"speed_ft", tidy(speed_ft)},
                                   {"assumptions", assumed.sentences},
                                   {"warnings", warnings}};
        if (skid)
            out["skid"] = {{"length_m", tidy(skid->length_m)}, {"time_s", tidy(skid->time_s)}, {"rolling_mps", tidy(skid->rolling_mps)},
                           {"jump_length_m", tidy(skid->jump_length_m)}, {"jump_height_m", tidy(skid->jump_height_m)},
                           {"launch_mps", tidy(equivalent_launch(*skid, speed_ft))}};
        if (path.pass)
            out["pass"] = {{"offset_m", tidy(path.pass->offset_m)}, {"speed_mps", tidy(path.pass->speed_mps)}, {"short", !crosses},
                           {"short_m", tidy(short_m)}, {"right_m", tidy(right_m)}};
        if (judged) {
            out["capture"] = to_text(path.capture);
            out["uncertain"] = uncertain;
            out["drops_by_restitution"] = nlohmann::ordered_json::array();
            for (std::size_t i = 0; bounce && i < bounce->drops.size(); ++i)
                out["drops_by_restitution"].push_back({{"restitution", kSensitivityRestitutions[i]}, {"drops", bool(bounce->drops[i])}});
        }
        print_json(out);
        return 0;
    }
    print_warnings(notes);
    fmt::print("end         {}\nat          {:.3f}, {:.3f} m\nlength      {:.2f} m in {:.1f} s\n", to_text(path.end),
               path.stop().x, path.stop().y, path.length_m, path.time_s);
    if (skid)
        fmt::print("skid        {:.2f} m in {:.2f} s, jump {:.1f} mm; rolls from there at {:.2f} m/s\n", skid->length_m, skid->time_s,
                   1000 * skid->jump_height_m, skid->rolling_mps);
    for (const std::string& sentence : assumed.sentences) fmt::print("assumed     {}\n", sentence);
    if (!path.pass) return 0;
    if (crosses)
        fmt::print("at the hole {:.0f} mm {} of the centre at {:.2f} m/s\n", 1000 * std::abs(path.pass->offset_m),
                   path.pass->offset_m >= 0 ? "right" : "left", path.pass->speed_mps);
    else
        fmt::print("at the hole short by {:.2f} m, {:.2f} m {} of the ball-hole line\n", short_m, std::abs(right_m), right_m >= 0 ? "right" : "left");
    if (judged && crosses) {
        fmt::print("judged by   {}", to_text(path.capture));
        if (bounce) {
            // By free fall the rim's simulation is another opinion, and is called so.
            fmt::print("{}; with the rim it", uncertain ? "; uncertain" : "");
            for (std::size_t i = 0; i < bounce->drops.size(); ++i)
                fmt::print("{} {} at restitution {}", i ? "," : "", bounce->drops[i] ? "drops" : "does not drop", kSensitivityRestitutions[i]);
        } else if (uncertain) {
            fmt::print("; uncertain, it depends on the bounce");
        }
        fmt::print("\n");
    }
    return 0;
}

}  // namespace brae::app
