// The panels of the coach's tab beside the stations: the lesson, its file and player, and the check of the green.
#pragma once

#include "plugins/practice_stations/coach.h"

namespace brae::practice_stations {

void draw_parts(Coach& coach);                 // the row of the three parts
void draw_lesson_panel(Coach& coach);
void draw_lesson_setup(Coach& coach);          // file, player, baseline, start: while no lesson is open
void draw_putter(LessonModel& model, plugin::Units units);
void draw_lesson_results(LessonModel& model, plugin::Units units);
void draw_check_panel(Coach& coach);

// A button with its key before the words; drawn as chosen where `on`.
bool key_button(const char* words, float width, bool on = false);
// A field with a label left of it; true when Enter was pressed in it.
bool form_row(const char* label, std::string& text, const char* hint);
void sentence(const std::string& text);        // with a capital and a full stop; nothing where it is empty

}  // namespace brae::practice_stations
