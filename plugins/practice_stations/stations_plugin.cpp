#include "plugins/practice_stations/stations_plugin.h"

#include "plugins/api/panel_kit.h"
#include "plugins/practice_stations/lesson_overlay.h"
#include "plugins/practice_stations/lesson_panel.h"
#include "plugins/practice_stations/stations_overlay.h"
#include "plugins/practice_stations/stations_panel.h"

namespace brae::practice_stations {

StationsPlugin::StationsPlugin(plugin::Services& services) : coach_(services) {}

void StationsPlugin::draw_panel() {
    draw_parts(coach_);
    switch (coach_.part()) {
        case Part::stations:
            coach_.stations.set_player(coach_.lesson.spread());
            // The list has the breaks in it.
            if (const std::string hidden = hides_read(); !hidden.empty()) {
                plugin::kit::wrapped(hidden);
                plugin::kit::remark("The plan of the stations is hidden for as long.");
            } else {
                draw_stations_panel(coach_.stations);
            }
            break;
        case Part::lesson: draw_lesson_panel(coach_); break;
        case Part::check: draw_check_panel(coach_); break;
    }
}

void StationsPlugin::draw_overlay(plugin::OverlayCanvas& canvas) {
    switch (coach_.part()) {
        case Part::stations: draw_stations(coach_.stations, !hides_read().empty(), canvas); break;
        case Part::lesson:
            if (coach_.lesson.lesson()) draw_lesson(coach_.lesson, coach_.stations.now().units, canvas);
            else draw_stations(coach_.stations, false, canvas);
            break;
        case Part::check: draw_check(coach_.check, coach_.stations.now().units, canvas); break;
    }
}

// While balls are rolled a read is in the way of what is told.
std::string StationsPlugin::hides_read() {
    if (coach_.part() == Part::check && coach_.check.in_hand()) return "The read is hidden while the rolled balls are told.";
    return coach_.lesson.hides_read();
}

void StationsPlugin::on_event(plugin::Event event) { coach_.on_event(event); }

std::vector<plugin::Shortcut> StationsPlugin::shortcuts() {
    return {{'L', false, false, "Plan the lesson's stations for this hole", [this] { coach_.show(Part::stations); coach_.stations.plan(); }},
            {'A', false, true, "Add a practice station at the ball", [this] { coach_.show(Part::stations); coach_.stations.add_at_ball(); }},
            {'L', false, true, "Show the lesson and go on with it", [this] { coach_.go_on(); }},
            {'C', false, true, "Check the green with rolled balls", [this] { coach_.show(Part::check); coach_.check.take_in_hand(); }}};
}

}  // namespace brae::practice_stations
