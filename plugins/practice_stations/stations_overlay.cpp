#include "plugins/practice_stations/stations_overlay.h"

#include "core/plan/station_facts.h"
#include "plugins/api/panel_kit.h"

namespace brae::practice_stations {

namespace {

namespace ink = plugin::ink;
using plugin::Dash;

void draw_station(const PracticeStation& s, bool selected, plugin::Units units, plugin::OverlayCanvas& canvas) {
    const plugin::Colour colour = selected ? ink::blue : ink::quiet;
    const float width = selected ? 2.2f : 1.2f;

    // Where the ball runs is solid, where it is aimed is dashed.
    canvas.polyline(s.path, {colour, width, Dash::solid});
    canvas.polyline({s.ball, s.marker}, {colour, width, Dash::dashed});
    canvas.marker(s.ball, plugin::MarkerShape::dot, colour, selected ? 11.0f : 8.0f, s.label);

    // Of the one looked at: the gate's two tees and where the path turns, which is no aim.
    if (selected) {
        const StartGate gate = start_gate(s);
        canvas.polyline({gate.left, gate.right}, {ink::dark, 1.0f, Dash::dotted});
        canvas.marker(gate.left, plugin::MarkerShape::plus, ink::dark, 7.0f);
        canvas.marker(gate.right, plugin::MarkerShape::plus, ink::dark, 7.0f, "gate");
        if (const auto turn = turning_point(s); turn && s.wants_marker())
            canvas.marker(turn->p, plugin::MarkerShape::ring, ink::quiet, 7.0f, "ball's turn: no aim");
    }

    // The aim marker and its distance from the hole; inside the hole there is nothing to put down.
    if (s.break_m < kHoleRadius) return;
    canvas.marker(s.marker, plugin::MarkerShape::diamond, colour, selected ? 11.0f : 8.0f, "");
    if (selected)
        canvas.polyline({s.hole, s.marker}, {ink::dark, 1.2f, Dash::dotted},
                        plugin::kit::offset(s.break_m, units) + (s.aim_offset_m > 0 ? " right" : " left"));
}

}  // namespace

void draw_stations(const StationsModel& model, bool read_hidden, plugin::OverlayCanvas& canvas) {
    const auto& stations = model.stations();
    if (read_hidden) {
        for (const PracticeStation& s : stations) canvas.marker(s.ball, plugin::MarkerShape::dot, ink::quiet, 8.0f, s.label);
        return;
    }
    // The selected one last, over the others.
    for (int k = 0; k < static_cast<int>(stations.size()); ++k)
        if (k != model.selected()) draw_station(stations[k], false, model.now().units, canvas);
    if (const auto& aim = model.shared_aim()) canvas.marker(aim->p, plugin::MarkerShape::square, ink::violet, 9.0f, "shared aim");
    if (model.selected() >= 0) draw_station(stations[model.selected()], true, model.now().units, canvas);
}

}  // namespace brae::practice_stations
