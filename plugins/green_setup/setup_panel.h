// The panel: four parts, one on show. Each part's own file draws it.
#pragma once

#include "plugins/green_setup/setup_model.h"

#include <string>

namespace brae::green_setup {

void draw_setup_panel(SetupModel& model);

void draw_outline_part(SetupModel& model);
void draw_marks_part(SetupModel& model);
void draw_locate_part(SetupModel& model);
void draw_zones_part(SetupModel& model);

// Rows that the parts share: a label before a field that takes the rest of the line (true when Enter was pressed in it), two buttons side by side, and the rows under a ring that is being drawn or shaped.
bool field(const char* label, std::string& text, const char* hint = "");
float half_width();
void refusal(const std::string& sentence);
// Draws the corner's place, the steps, and the two buttons; the functions do what their names say.
void draw_ring_rows(SetupModel& model, RingEditor& editor, const char* keep_words, const std::function<void()>& take_tool,
                    const std::function<void(const std::string&)>& use_typed, const std::function<void()>& keep, const std::function<void()>& leave);

}  // namespace brae::green_setup
