// Large clouds put in order of place.
#pragma once

#include "core/base/progress.h"
#include "core/survey/survey.h"

#include <cstddef>

namespace brae {

// Clouds of more points than these are put in order; smaller ones fit the caches as they are and keep the order of the file.
inline constexpr std::size_t kOrderedFrom = 1'000'000;

// Puts the points of a large cloud, with their classes and strips, in order of place (rows of small squares, within a square
// the order of the file), so that neighbours lie near one another in memory and every later pass is quick. `removed` must be
// empty or all alike. The same for any thread count.
void order_by_place(Survey& survey, Progress& progress);

}  // namespace brae
