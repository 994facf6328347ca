#include "core/base/units.h"
#include "core/plan/hole_criteria.h"
#include "core/plan/hole_lattice.h"

#include <limits>

namespace brae {

HoleMaps map_holes(const TerrainModel& terrain, double green_speed_ft, const HoleLimits& limits, Progress& progress) {
    check_hole_question(terrain, green_speed_ft, limits);
    const Box& box = terrain.outline.box();
    const double cell = limits.spacing_m;
    const int columns = static_cast<int>(std::ceil(box.width() / cell)), rows = static_cast<int>(std::ceil(box.height() / cell));
    const Raster empty(columns, rows, box.x0, box.y0, cell, std::numeric_limits<double>::quiet_NaN());
    HoleMaps maps{empty, empty, empty, empty, empty};

    // One cell, one judgement of its centre.
    for_all(empty.values.size(), progress, 0, 1, "judging places", [&](std::size_t k) {
        const Vec2 p = empty.centre(static_cast<int>(k) % columns, static_cast<int>(k) / columns);
        if (!terrain.outline.contains(p)) return;
        const HolePosition h = judge_criteria(terrain, p, green_speed_ft, limits, true);
        double least = 1;
        for (const Criterion& c : h.criteria) {
            least = std::min(least, margin(c));
            if (c.name == "edge") maps.edge_m.values[k] = c.value;
            if (c.name == "slope") maps.slope_pct.values[k] = c.value;
            if (c.name == "change of slope") maps.change_pct.values[k] = c.value;
            if (c.name == "stopping" && c.measured) maps.run_past_m.values[k] = c.value;
        }
        maps.margin.values[k] = std::max(least, -1.0);
    });
    progress.step(1, "done");
    return maps;
}

std::vector<FairAtSpeed> fair_area_by_speed(const TerrainModel& terrain, const std::vector<double>& speeds_ft,
                                            const std::vector<std::vector<Vec2>>& closed_zones, const HoleLimits& limits,
                                            Progress& progress) {
    std::vector<FairAtSpeed> out;
    for (const double s : speeds_ft) check_hole_question(terrain, s, limits);
    const std::vector<Vec2> places = candidates_on(terrain, limits.spacing_m, closed_zones);
    const double share = 1 / std::max(1.0, static_cast<double>(speeds_ft.size()));
    for (const double s : speeds_ft) {
        std::vector<unsigned char> fair(places.size());
        const double from = share * static_cast<double>(out.size());
        for_all(places.size(), progress, from, from + share, "fair area by green speed",
                [&](std::size_t k) { fair[k] = judge_criteria(terrain, places[k], s, limits, false).fair ? 1 : 0; });
        const auto count = std::count(fair.begin(), fair.end(), static_cast<unsigned char>(1));
        out.push_back({s, static_cast<double>(count) * limits.spacing_m * limits.spacing_m});
    }
    return out;
}

std::optional<double> fastest_fair_speed(const TerrainModel& terrain, Vec2 p, const HoleLimits& limits) {
    check_hole_question(terrain, kSlowestGreenFt, limits);
    // Faster greens only make the slope and the stopping harder, so the answer lies between a yes and a no.
    const auto fair = [&](int tenths) { return judge_criteria(terrain, p, tenths / 10.0, limits, false).fair; };
    int low = static_cast<int>(10 * kSlowestGreenFt), high = static_cast<int>(10 * kFastestGreenFt);
    if (!fair(low)) return std::nullopt;
    if (fair(high)) return kFastestGreenFt;
    while (high - low > 1) {
        const int mid = (low + high) / 2;
        (fair(mid) ? low : high) = mid;
    }
    return low / 10.0;
}

}  // namespace brae
