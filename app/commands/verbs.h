// The program without a window: one function a verb. Each returns the exit code (0 done, 1 no answer) and throws
// brae::Error where the work cannot be done; command_line.cpp turns that into a sentence and a code.
#pragma once

#include "app/commands/arguments.h"

namespace brae::app {

int run_survey(const SurveyArguments& arguments);
int run_slope(const SlopeArguments& arguments);
int run_export(const ExportArguments& arguments);
int run_locate(const LocateArguments& arguments);
int run_roll(const RollArguments& arguments);
int run_putt(const PuttArguments& arguments);
int run_finished(const FinishedArguments& arguments);
int run_speed(const SpeedArguments& arguments);
int run_reads(const ReadsArguments& arguments);
int run_holes(const HolesArguments& arguments);
int run_line(const LineArguments& arguments);
int run_zone(const ZoneArguments& arguments);
int run_cut(const CutArguments& arguments);
int run_stations(const StationsArguments& arguments);
int run_sheet(const SheetArguments& arguments);
int run_lesson(const LessonArguments& arguments);
int run_picture(const PictureArguments& arguments);

}  // namespace brae::app
