// brae roll: one ball at a given direction and speed.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/roll/capture_sensitivity.h"
#include "core/roll/rolling.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

int run_roll(const RollArguments& a) {
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const TerrainModel& terrain = *green.terrain;

    RollOptions options;
    options.covered = a.covered;
    options.capture = capture_model(a.capture);
    if (!a.hole.empty()) options.hole = parse_hole(a.hole, green);
    const RollPath path = roll(*terrain.surface, terrain.outline, parse_point(a.ball, "--ball", terrain.frame),
                               direction_of_bearing(a.toward_deg), a.launch_mps, a.speed_ft, options);

    // A ball that stops before the line through the hole square to the ball-hole line is short.
    const Vec2 ball{path.samples.front().p.x, path.samples.front().p.y};
    double short_m = 0, right_m = 0;
    if (options.hole && distance(ball, *options.hole) > 0) {
        const Vec2 along = unit(*options.hole - ball), missing = *options.hole - path.stop();
        short_m = dot(missing, along);
        right_m = -dot(missing, right_of(along));
    }
    const bool crosses = path.end == RollEnd::holed || short_m <= 0;

    // Does the verdict rest on how the ball bounces? The meeting itself is simulated for this one roll.
    std::optional<CaptureSensitivity> bounce;
    if (path.pass && path.pass->approach && !a.covered) bounce = capture_sensitivity(*path.pass->approach);
    bool uncertain = path.pass && (path.pass->uncertain || (bounce && bounce->uncertain));
    // So is a ball that the rim's table and the simulation behind it judge differently, within the table's error.
    if (bounce && path.capture == CaptureModel::rim && bounce->drops[1] != (path.end == RollEnd::holed)) uncertain = true;

    terminal.finish();
    if (a.json) {
        nlohmann::ordered_json out{{"stop", {tidy(path.stop().x), tidy(path.stop().y)}},
                                   {"length_m", tidy(path.length_m)},
                                   {"time_s", tidy(path.time_s)},
                                   {"end", to_text(path.end)},
                                   {"path", json_of_path(path)},
                                   {"warnings", terrain.warnings}};
        if (path.pass)
            out["pass"] = {{"offset_m", tidy(path.pass->offset_m)}, {"speed_mps", tidy(path.pass->speed_mps)}, {"short", !crosses},
                           {"short_m", tidy(short_m)}, {"right_m", tidy(right_m)}};
        if (options.hole && !a.covered) {
            out["capture"] = to_text(path.capture);
            out["uncertain"] = uncertain;
            out["drops_by_restitution"] = nlohmann::ordered_json::array();
            for (std::size_t i = 0; bounce && i < bounce->drops.size(); ++i)
                out["drops_by_restitution"].push_back({{"restitution", kSensitivityRestitutions[i]}, {"drops", bool(bounce->drops[i])}});
        }
        print_json(out);
        return 0;
    }
    fmt::print("end         {}\nat          {:.3f}, {:.3f} m\nlength      {:.2f} m in {:.1f} s\n", to_text(path.end),
               path.stop().x, path.stop().y, path.length_m, path.time_s);
    if (!path.pass) return 0;
    if (crosses)
        fmt::print("at the hole {:.0f} mm {} of the centre at {:.2f} m/s\n", 1000 * std::abs(path.pass->offset_m),
                   path.pass->offset_m >= 0 ? "right" : "left", path.pass->speed_mps);
    else
        fmt::print("at the hole short by {:.2f} m, {:.2f} m {} of the ball-hole line\n", short_m, std::abs(right_m), right_m >= 0 ? "right" : "left");
    if (options.hole && !a.covered) {
        fmt::print("judged by   {}", to_text(path.capture));
        if (bounce) {
            fmt::print("{}", bounce->uncertain ? "; uncertain, it depends on the bounce:" : "; simulated it is the same at each bounce:");
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
