// From the coded points of a levels list to outline, breaklines, reference marks and today's hole.
#pragma once

#include "core/survey/raw_survey.h"
#include "core/survey/survey.h"

#include <vector>

namespace brae {

// Sorts rows (already in local metres) into the survey. Ground, edge and tier rows also become points on the turf where
// `as_points`; hole, mark and other rows never do: a hole's rim and a sprinkler's lid are not turf. Adds warnings.
void sort_levels(const std::vector<RawLevel>& levels, bool as_points, Survey& survey);

}  // namespace brae
