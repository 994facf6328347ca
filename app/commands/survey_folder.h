// A folder of surveys in one call: every green in a process of its own, several at a time, one failure stops no other.
#pragma once

#include "app/commands/arguments.h"

namespace brae::app {

// a.files holds the folder, a.out the folder for the green files. A folder inside is one green of several files, in which a
// file named outline is its edge; a survey file that lies alone is one green. Ends with a summary; 0 where all were done,
// 1 where one failed. Throws Error for a folder without a survey.
int run_survey_folder(const SurveyArguments& a);

}  // namespace brae::app
