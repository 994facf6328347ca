// The program's look: a calm light theme, and its four fonts.
#pragma once

#include <imgui.h>

namespace brae::app {

// Widths and heights of the fixed layout at scale 1.
inline constexpr float kLeftWidth = 292, kRightWidth = 340, kTopHeight = 46, kStatusHeight = 28;

// Inks shared by what is drawn by hand.
inline constexpr ImU32 kInk = IM_COL32(31, 37, 41, 255), kQuietInk = IM_COL32(98, 106, 112, 255);
inline constexpr ImU32 kHairline = IM_COL32(221, 224, 220, 255), kPlate = IM_COL32(252, 252, 250, 235);
inline constexpr ImU32 kAccent = IM_COL32(0, 82, 136, 255);

// Loads Inter and DejaVu at scale (FreeType); the built-in font where they are not installed. Fonts[0] text,
// [1] numbers, [2] strong, [3] title, [4] small text, [5] small numbers: each at its own size, so that all are sharp. Call once a context, before the first frame.
void load_fonts(float scale);
void apply_theme(float scale);

}  // namespace brae::app
