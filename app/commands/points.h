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

// A number from the whole of the text, blanks round it and a leading + allowed, of size up to 1e9; else Error(usage) that
// names the option.
double parse_number(const std::string& text, const std::string& option);

}  // namespace brae::app
