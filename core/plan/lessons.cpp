#include "core/plan/practice_stations.h"

namespace brae {

const std::vector<LessonKind>& lesson_kinds() {
    static const std::vector<LessonKind> kinds = {
        {"fall-line", "Find the line on which a putt runs straight, and feel how differently uphill and downhill run.",
         "Two to four balls straight below and straight above the hole, where nothing breaks."},
        {"ladder", "See break grow: the length stays the same and only the angle to the slope changes.",
         "Four or five balls at one distance whose breaks rise in near-equal steps."},
        {"both-hands", "Read the same break from both sides: left to right asks for as much as right to left.",
         "Pairs of balls at one distance with equal break, one from each hand."},
        {"three-paces", "Learn that pace chooses the line: a firm putt takes less break than a dying one.",
         "One ball with three markers: dead weight, usual pace and firm."},
        {"ring", "Walk round the hole and meet every slope of it at one distance.",
         "Eight balls evenly round one hole at one distance."},
    };
    return kinds;
}

}  // namespace brae
