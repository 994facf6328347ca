#include "core/plan/station_speeds.h"

#include "core/base/error.h"
#include "core/plan/same_putt.h"
#include "core/roll/green_speed.h"

#include <algorithm>
#include <cmath>
#include <tbb/parallel_for.h>

namespace brae {

std::vector<BreakAtSpeed> breaks_at_speeds(const TerrainModel& terrain, const PracticeStation& station, std::optional<double> usual_speed_ft) {
    std::vector<BreakAtSpeed> out;
    for (const double step : {-1.0, -0.5, 0.0, 0.5, 1.0}) {
        const double speed = station.green_speed_ft + step;
        if (speed >= kSlowestGreenFt && speed <= kFastestGreenFt) out.push_back({speed, std::nullopt, 0, false});
    }
    if (usual_speed_ft) {
        level_deceleration(*usual_speed_ft);   // refuses a speed out of range with its own sentence
        const auto there = std::find_if(out.begin(), out.end(), [&](const BreakAtSpeed& b) { return std::abs(b.green_speed_ft - *usual_speed_ft) < 0.01; });
        if (there != out.end()) there->usual = true;
        else out.push_back({*usual_speed_ft, std::nullopt, 0, true});
    }
    std::stable_sort(out.begin(), out.end(), [](const BreakAtSpeed& a, const BreakAtSpeed& b) { return a.green_speed_ft < b.green_speed_ft; });

    // Followed from the station's own launch; what was kept on older ground is solved anew where that does not lead on.
    const Vec2 start = station.marker - station.ball;
    const Launch known{std::atan2(start.y, start.x), station.launch_mps};
    tbb::parallel_for(std::size_t{0}, out.size(), [&](std::size_t k) {
        const PuttQuestion asked{station.ball, station.hole, out[k].green_speed_ft, station.past_m};
        if (const auto putt = putt_at_speed(terrain, asked, known, station.green_speed_ft)) {
            out[k].break_m = std::abs(putt->aim_offset_m);
            out[k].launch_mps = putt->launch.speed;
        }
    });
    return out;
}

std::vector<BreakAtSpeed> kept_breaks(const PracticeStation& s) {
    std::vector<BreakAtSpeed> out;
    const auto add = [&](double speed, double size) {
        if (speed < kSlowestGreenFt || speed > kFastestGreenFt) return;
        out.push_back({speed, std::isfinite(size) ? std::optional(size) : std::nullopt, 0, false});
    };
    add(s.green_speed_ft - 0.5, s.break_slower_m);
    add(s.green_speed_ft, s.break_m);
    add(s.green_speed_ft + 0.5, s.break_faster_m);
    return out;
}

std::vector<std::vector<BreakAtSpeed>> breaks_for_sheet(const TerrainModel& terrain, const std::vector<PracticeStation>& stations,
                                                        std::optional<double> usual_speed_ft) {
    if (usual_speed_ft) level_deceleration(*usual_speed_ft);
    std::vector<std::vector<BreakAtSpeed>> out;
    for (const PracticeStation& s : stations) {
        try {
            out.push_back(breaks_at_speeds(terrain, s, usual_speed_ft));
        } catch (const Error&) {
            out.push_back(kept_breaks(s));
        }
    }
    return out;
}

}  // namespace brae
