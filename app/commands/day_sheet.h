// Sheets of a day for a green or a folder of greens: kinds "day" and "card" of brae sheet, and the points of the holes.
#pragma once

#include "app/commands/arguments.h"

namespace brae::app {

bool is_day_kind(const std::string& kind);
int run_day_sheet(const SheetArguments& arguments);

}  // namespace brae::app
