// What to practise, in a sentence for the player, and the ready lesson that does it.
#pragma once

#include "core/teach/lesson_estimate.h"

#include <string>
#include <vector>

namespace brae {

struct PracticeAdvice {
    std::string sentence;     // "Start line: 0.4 to 1.1 degrees to the right of where you mean it. ..."
    std::string lesson;       // name of a ready lesson (core/plan/practice_stations.h)
    bool sure = false;        // told by enough putts; else it only leans that way, and the sentence says so
};

// Read, start line (aim and stroke apart where the aim was seen) and pace: those whose 90 % interval lies on one side, the
// surest first and of these the largest against what does not matter; at most three. Where nothing stands out, one that
// says what would tell. Never empty.
std::vector<PracticeAdvice> practice_advice(const LessonEstimate& estimate);

}  // namespace brae
