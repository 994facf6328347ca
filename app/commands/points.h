// Points on the command line: "X,Y" in local metres, "map:X,Y" in the survey's system, and names of stored things.
#pragma once

#include "core/record/green.h"

#include <string>
#include <vector>

namespace brae::app {

// option names the option in the sentence of a failure. Throws Error(usage).
Vec2 parse_point(const std::string& text, const std::string& option, const Frame& frame);

// The hole: a point, or today's hole where the text is empty or "today". Throws Error(usage) where none is stored.
Vec2 parse_hole(const std::string& text, const Green& green);

// The green speed asked for, or the newest reading kept in the green where none was. Throws Error(usage) without either.
double speed_of_day(std::optional<double> asked_ft, const Green& green);

// The reference marks of the green as points to tape from.
std::vector<TapePoint> known_points(const Green& green);

// A number from the whole of the text, or Error(usage) that names the option.
double parse_number(const std::string& text, const std::string& option);

}  // namespace brae::app
