// The coach's tab: stations, the lesson, and the check of the green, each with a model of its own.
#pragma once

#include "plugins/api/plugin.h"
#include "plugins/practice_stations/check_model.h"
#include "plugins/practice_stations/lesson_model.h"
#include "plugins/practice_stations/stations_model.h"

namespace brae::practice_stations {

enum class Part { stations, lesson, check };

struct Coach {
    explicit Coach(plugin::Services& services);

    plugin::Services& services;
    StationsModel stations;
    LessonModel lesson;
    CheckModel check;

    Part part() const { return part_; }
    void show(Part part);             // what was in hand is put down
    void on_event(plugin::Event event);
    // The lesson's next step by one key: a file, then today's lesson of the player or a new one, then in hand again.
    void go_on();

private:
    Part part_ = Part::stations;
    bool follow_ = false;             // the stations follow the speed that was just made that of the day
};

}  // namespace brae::practice_stations
