// The greenkeeper's panel: four parts in one row, each drawn by a file of its own.
#pragma once

#include "plugins/hole_positions/parts.h"

namespace brae::hole_positions {

void draw_holes_panel(Parts& parts);

// Its parts, and what they share.
void draw_today_part(Parts& parts);
void draw_plan_part(Parts& parts);
void draw_cut_part(Parts& parts);
void draw_practice_part(Parts& parts);

float half_width();
bool text_field(const char* label, std::string& text, const char* hint);   // true on Enter
bool count_field(const char* label, int& count, int low, int high);         // true where it changed
void draw_sentence(const std::string& sentence);                           // nothing where it is empty
void draw_cautions();

}  // namespace brae::hole_positions
