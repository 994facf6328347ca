// What was put back after cleaning, judged by the surface: turf lies on it as the other points do, clutter does not.
#pragma once

#include "core/survey/survey.h"
#include "core/terrain/terrain_model.h"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace brae {

// Points that were put back, and points that were never taken away, each thinned to every n-th.
struct PutBackSample {
    std::vector<Vec3> back, others;
    std::size_t back_every = 1, others_every = 1;
};

// Of a cleaned survey; `without` holds what cleaning removes where nothing is put back (as long as survey.removed, in the same
// order of points). Empty where the lengths differ.
PutBackSample put_back_sample(const Survey& survey, const std::vector<std::uint8_t>& without);

// Their root mean square about the surface, over the green, against the deviation of the others, taken from their median so that
// ground that a standing thing has lifted does not pass for noise: noise_rise is that of all the points together. What one
// outlier does to ten thousand points of turf is little, what a standing person does is much.
PutBackShare put_back_share(const TerrainModel& terrain, const PutBackSample& sample);

}  // namespace brae
