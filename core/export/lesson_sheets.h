// Printed reports of a lesson: one page for the player, the history with plots for the coach. Both hold personal data, and
// say so.
#pragma once

#include "core/export/sheets.h"
#include "core/record/worked_lesson.h"

#include <filesystem>
#include <string>

namespace brae {

enum class LessonReader { player, coach };

struct LessonSheetRequest {
    LessonReader reader = LessonReader::player;
    Paper paper = Paper::a4;
    bool feet_and_inches = false;
    std::string note = {};           // a sentence that the reader must know, printed first
};

// scale: that of the player's drawing, the largest of 1:20, 1:25, 1:30, 1:40, 1:50, 1:75, 1:100, 1:125, 1:150, 1:200, ... that
// fits; 0 for the coach. Throws Error(usage) where the lesson has no station, Error where nothing can be written.
SheetResult write_lesson_sheet(const Green& green, const WorkedLesson& lesson, const LessonSheetRequest& request, const std::filesystem::path& file);

// One line a putt: station, phase, outcome, reads and the errors told of it with their 90 % intervals (RFC 4180).
std::string told_putts_as_csv(const WorkedLesson& lesson);
// One line a lesson: its figures with their 90 % intervals.
std::string history_as_csv(const WorkedLesson& lesson);

// "28 cm right" or "11 in left" of the hole's centre; "centre" under half of a unit.
std::string cross_text(double offset_m, bool feet);
// What the next session should begin with, in sentences for the player.
std::string next_session(const WorkedLesson& lesson);

}  // namespace brae
