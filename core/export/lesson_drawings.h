// The drawings behind write_lesson_sheet().
#pragma once

#include "core/export/lesson_sheets.h"
#include "core/export/sheet_kinds.h"

namespace brae {

DrawnSheet draw_player_sheet(const Green& green, const WorkedLesson& lesson, const LessonSheetRequest& request);
DrawnSheet draw_coach_sheet(const Green& green, const WorkedLesson& lesson, const LessonSheetRequest& request);

}  // namespace brae
