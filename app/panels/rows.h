// A slim slider with its label and a value that can be typed, all of one row.
#pragma once

namespace brae::app {

inline constexpr float kLabelWidth = 104;   // of the labels in the left column, at scale 1, padding included

struct SliderUse { bool moved = false, typed = false, began = false, ended = false; };

// format: of the value, unit included ("%.1f ft"). The value is kept within the range also when typed.
SliderUse slider_row(const char* label, float* value, float low, float high, const char* format, float scale,
                     bool logarithmic = false);

}  // namespace brae::app
