// What people type: places, lengths, days. A text that is none gives one sentence with what was found and what is wanted.
#pragma once

#include "core/survey/frame.h"
#include "plugins/api/services.h"
#include "plugins/green_setup/ring_editor.h"

#include <string>

namespace brae::green_setup {

// Each throws Error with the sentence.
// "12.5, 8.25" in local metres, or "map:431204.1,573310.9" in the survey's system, easting first.
Vec2 place_from(const std::string& text, const Frame& frame);

// "6.42" in the units of the window; "6.42 m", "642 cm", "21.5 ft", "21' 3\"", "21 ft 3 in" whatever they are. Above zero, at
// most 100 m, as a tape reads.
double length_from(const std::string& text, plugin::Units units);
// A height in metres ("101.37").
double height_from(const std::string& text);
// "2026-05-02", a day that the calendar has; "" stays "".
std::string day_from(const std::string& text);

std::string text_of(Vec2 p);                // "12.50, 8.25"

// A typed place for the ring in work: its next corner while it is drawn, else where the selected one goes. Empty, or why not.
std::string put_typed(RingEditor& editor, const std::string& text, const Frame& frame);

}  // namespace brae::green_setup
