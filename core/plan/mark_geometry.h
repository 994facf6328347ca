// How well the reference marks of a green let any place on it be taped, and where a further mark would help most.
#pragma once

#include "core/base/progress.h"
#include "core/plan/taping.h"
#include "core/survey/outline.h"

#include <optional>
#include <vector>

namespace brae {

// Fewer marks leave a place without a check tape.
inline constexpr std::size_t kFewestMarks = 3;

// Shares of the green from a lattice of about 300 spots. A spot can be taped where two marks lie within 30 m and cross under
// 30 to 150 degrees (plan_tapes); it is checked where a third mark within 30 m tells it from its mirror image by more than
// twice the largest misfit that is forgiven, 6 cm.
struct MarkGeometry {
    double taped = 0, checked = 0;     // 0 to 1
    double se_m = 0;                   // median over the taped spots, each tape wrong by 1 cm; NaN where none can be taped
    double worst_crossing_deg = 90;    // farthest from square of the best crossings; 90 where none can be taped
    // Where a further mark would help most: about 1 m outside the edge, where fixed things are found. Empty where it would add
    // less than 2 % to the shares and less than 1 mm to the mean error, as on a green without marks.
    std::optional<Vec2> help;
    double taped_with_help = 0, checked_with_help = 0;
};

// Deterministic; about 20 ms with ten marks. A mark counts once however often it is named. Throws Error(usage) for an empty
// outline.
MarkGeometry mark_geometry(const Outline& outline, const std::vector<TapePoint>& marks, Progress& progress);

}  // namespace brae
