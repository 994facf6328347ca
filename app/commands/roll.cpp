// brae roll: one ball at a given direction and speed.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
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
    if (!a.hole.empty()) options.hole = parse_hole(a.hole, green);
    const RollPath path = roll(*terrain.surface, terrain.outline, parse_point(a.ball, "--ball", terrain.frame),
                               direction_of_bearing(a.toward_deg), a.launch_mps, a.speed_ft, options);

    terminal.finish();
    if (a.json) {
        nlohmann::ordered_json out{{"stop", {tidy(path.stop().x), tidy(path.stop().y)}},
                                   {"length_m", tidy(path.length_m)},
                                   {"time_s", tidy(path.time_s)},
                                   {"end", to_text(path.end)},
                                   {"path", json_of_path(path)},
                                   {"warnings", terrain.warnings}};
        if (path.pass)
            out["pass"] = {{"offset_m", tidy(path.pass->offset_m)}, {"speed_mps", tidy(path.pass->speed_mps)}};
        print_json(out);
        return 0;
    }
    fmt::print("end         {}\nat          {:.3f}, {:.3f} m\nlength      {:.2f} m in {:.1f} s\n", to_text(path.end),
               path.stop().x, path.stop().y, path.length_m, path.time_s);
    if (path.pass)
        fmt::print("at the hole {:.0f} mm {} of the centre at {:.2f} m/s\n", 1000 * std::abs(path.pass->offset_m),
                   path.pass->offset_m >= 0 ? "right" : "left", path.pass->speed_mps);
    return 0;
}

}  // namespace brae::app
