#include "plugins/practice_stations/coach.h"

#include "core/base/calendar.h"

#include <utility>

namespace brae::practice_stations {

Coach::Coach(plugin::Services& s) : services(s), stations(s), lesson(s), check(s, [this] { follow_ = true; }) {}

void Coach::show(Part part) {
    if (part == part_) return;
    if (lesson.in_hand()) lesson.pause();
    if (check.in_hand()) check.pause();
    part_ = part;
    services.document.redraw();
}

void Coach::go_on() {
    show(Part::lesson);
    if (lesson.lesson()) {
        if (!lesson.in_hand()) lesson.take_in_hand();
    } else if (!lesson.has_file()) {
        if (stations.now().green) lesson.ask_open();
    } else if (lesson.player()) {
        // The last lesson where it is of today or has no date, else a new one.
        if (!lesson.lessons().empty() && (lesson.lessons().back().date.empty() || lesson.lessons().back().date == today())) lesson.go_on(lesson.lessons().back().id);
        else if (!stations.stale()) lesson.start(stations.stations());
    }
}

void Coach::on_event(plugin::Event event) {
    using E = plugin::Event;
    if (event == E::green_opened) {
        stations.take_over_green();
        lesson.green_opened();
        check.green_opened();
        follow_ = false;
    }
    if (event == E::green_changed) {
        lesson.green_changed();
        check.green_changed();
        // The edit has come, and the snapshot is that after it.
        if (std::exchange(follow_, false)) stations.follow_speed();
    }
    if (event == E::units_changed) lesson.units_changed();
}

}  // namespace brae::practice_stations
