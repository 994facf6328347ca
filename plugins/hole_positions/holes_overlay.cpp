#include "plugins/hole_positions/holes_overlay.h"

#include <string>

namespace brae::hole_positions {

namespace {

namespace ink = plugin::ink;
using plugin::Dash;

// Scale of each map: ends that do not depend on the green, so that two greens can be compared.
plugin::ColourScale scale_of(const HolesModel& model) {
    const HoleLimits& l = model.limits();
    switch (model.map()) {
        case MapKind::slope: return {plugin::ScaleName::cividis, 0, 200 * l.slope_ceiling, "Slope round the place", "%", false};
        case MapKind::change: return {plugin::ScaleName::cividis, 0, 200 * l.slope_change, "Change of slope", "%", false};
        case MapKind::edge: return {plugin::ScaleName::cividis, 0, 3 * l.edge_m, "Distance to the edge", "m", false};
        case MapKind::run_past: return {plugin::ScaleName::cividis, 0, l.run_past_m, "Runs past at most", "m", false};
        case MapKind::room:
        case MapKind::none: break;
    }
    return {plugin::ScaleName::cividis, 0, 1, "Fair area: room to the nearest limit", "", false};
}

}  // namespace

void draw_holes(HolesModel& model, plugin::OverlayCanvas& canvas) {
    if (!model.now().green) return;

    // The map beneath.
    const bool front = model.take_front();
    if (front && model.map() != MapKind::none) {
        model.keep_maps_fresh();
        if (const auto raster = model.map_raster()) canvas.raster({raster, scale_of(model), 0.85f, model.map() != MapKind::room});
    }

    // Planned holes with rank or day; the selected one with the ground that was judged round it.
    const auto& positions = model.plan_made().positions;
    for (int k = 0; k < static_cast<int>(positions.size()); ++k) {
        const HolePosition& h = positions[k];
        const bool selected = k == model.selected();
        const std::string label = h.day.empty() ? std::to_string(k + 1) : "day " + h.day;
        canvas.marker(h.p, plugin::MarkerShape::ring, selected ? ink::blue : ink::dark, selected ? 13.0f : 9.0f, label);
        if (selected) canvas.circle(h.p, model.limits().radius_m, {ink::blue, 1.6f, Dash::solid});
    }

    // The place whose criteria the panel shows.
    if (const HolePosition* judged = front ? model.judged() : nullptr) {
        canvas.circle(judged->p, model.limits().radius_m, {ink::dark, 1.2f, Dash::dashed});
        if (judged->edge_m > 0) {
            const Vec2 edge = model.now().green->terrain->outline.nearest_edge_point(judged->p);
            canvas.polyline({judged->p, edge}, {ink::quiet, 1.2f, Dash::dotted});
        }
    }
}

}  // namespace brae::hole_positions
