// Draws a lesson on the green: its stations, the true line and the player's own, and where the putts stopped; and the balls of
// the check.
#pragma once

#include "plugins/api/overlay.h"
#include "plugins/practice_stations/check_model.h"
#include "plugins/practice_stations/lesson_model.h"

namespace brae::practice_stations {

void draw_lesson(const LessonModel& model, plugin::Units units, plugin::OverlayCanvas& canvas);
void draw_check(const CheckModel& model, plugin::Units units, plugin::OverlayCanvas& canvas);

}  // namespace brae::practice_stations
