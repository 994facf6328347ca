// Horn's slope in single precision, for large rasters that are shown or written: as fast as the memory lets it.
#pragma once

#include <cstddef>

namespace brae {

// Heights row by row, `columns` x `rows`, NaN where there is none; `slope` of the same size takes ratios (1 is 100 %), NaN on
// the border and where one of the nine heights is missing. Rows are shared out over the threads of the arena. Agrees with the
// formula in double to a few units in the last place of the heights over eight cells. Same bits for any number of threads
// and on every vector target. Does nothing to `slope` beyond `columns * rows` values.
void horn_slope_f32(const float* heights, int columns, int rows, double cell, float* slope);

// For the test of the targets: the rows from `first` up to, not including, `last`, on the best target that is enabled.
void horn_rows_f32(const float* heights, int columns, int first, int last, float scale, float* slope);

}  // namespace brae
