// The parts of cleaning that need no surface of their own: what the file says of its points, and layers that lie double.
#pragma once

#include "core/base/progress.h"
#include "core/survey/point_grid.h"
#include "core/survey/survey.h"

#include <vector>

namespace brae {

// Marks points that the file withholds.
void drop_withheld(Survey& survey);

// Where the file tells ground from the rest, marks the rest; where it names no ground, marks what it says is something else
// (plants, buildings, water, noise). Points of files without classes stay. Adds one sentence to the warnings.
void drop_other_classes(Survey& survey);

// Marks the weaker of two layers that lie over one another, and says so. `above` holds the heights of the points `use` over
// a surface through all of them, `cells` the same points in small cells. With strips in the file two of them are compared
// cell by cell; else the heights in many cells must fall into two heaps of one distance. Returns whether any was marked.
bool drop_second_layer(Survey& survey, const PointGrid& cells, const std::vector<std::uint32_t>& use, const std::vector<double>& above,
                       Progress& progress);

}  // namespace brae
