#include "plugins/practice_stations/stations_plugin.h"

#include "plugins/practice_stations/stations_overlay.h"
#include "plugins/practice_stations/stations_panel.h"

namespace brae::practice_stations {

StationsPlugin::StationsPlugin(plugin::Services& services) : model_(services) {}
void StationsPlugin::draw_panel() { draw_stations_panel(model_); }
void StationsPlugin::draw_overlay(plugin::OverlayCanvas& canvas) { draw_stations(model_, canvas); }

void StationsPlugin::on_event(plugin::Event event) {
    if (event == plugin::Event::green_opened) model_.take_over_green();
}

std::vector<plugin::Shortcut> StationsPlugin::shortcuts() {
    return {{'L', false, false, "Plan the lesson's stations for this hole", [this] { model_.plan(); }},
            {'A', false, true, "Add a practice station at the ball", [this] { model_.add_at_ball(); }}};
}

}  // namespace brae::practice_stations
