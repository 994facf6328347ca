// How sure the aim is over a whole green: the standard error of every spot's read.
#pragma once

#include "core/base/progress.h"
#include "core/solve/green_reads.h"
#include "core/terrain/terrain_model.h"

namespace brae {

// On the layout of the reads, metres of aim offset; not a number where there is no read or no aim offset.
struct AimErrorMap {
    Raster survey_se_m, speed_se_m, aim_offset_se_m;   // the last joins the two as independent
    std::size_t spots = 0;                             // that have a figure
    std::size_t one_by_one = 0;                        // of these, asked of solve_putt
};

// Of the solution that `reads` shows of each spot. The errors are carried along the rays from the hole, once for all
// spots of a ray, and interpolated between rays: within 5 % of solve_putt's figures (docs/solver.md), which answers
// itself where rays fold or bunch. On all threads of oneTBB, with the same bits for any number.
// Throws Error(usage) as solve_putt does, and for a sigma that is negative or no number.
AimErrorMap map_aim_errors(const HeightField& surface, const Outline& outline, const GreenQuestion& question,
                           const GreenReads& reads, const ErrorModel& error, double green_speed_sigma_ft, Progress& progress);

}  // namespace brae
