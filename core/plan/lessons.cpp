#include "core/plan/practice_stations.h"

namespace brae {

namespace {

StationWish wish(std::string note, Span distance_m) {
    StationWish w;
    w.note = std::move(note);
    w.distance_m = distance_m;
    return w;
}

// Three balls above the hole at rising distance, where a putt that is a little too firm runs away.
std::vector<StationWish> downhill_pace() {
    std::vector<StationWish> out;
    for (const double metres : {2.0, 3.0, 4.0}) {
        StationWish w = wish("downhill: let the slope bring it", {metres - 0.3, metres + 0.3});
        w.slope_along = Span{-0.06, -0.012};
        w.break_m = Span{0, 0.12 * metres};
        out.push_back(w);
    }
    return out;
}

// Three balls on the other side of the step: which way it goes is the hole's choice.
std::vector<StationWish> two_tier() {
    std::vector<StationWish> out;
    for (int k = 0; k < 3; ++k) {
        StationWish w = wish("over the tier", {3.0, 8.0});
        w.over_tier = true;
        out.push_back(w);
    }
    return out;
}

// Straight putts, gently uphill, so that only the start line counts.
std::vector<StationWish> start_gate() {
    std::vector<StationWish> out;
    for (const double metres : {1.5, 3.0}) {
        StationWish w = wish("straight through the gate", {metres - 0.3, metres + 0.3});
        w.side = PuttSide::straight;
        w.slope_along = Span{0.0, 0.04};
        out.push_back(w);
    }
    return out;
}

// Four putts that this player holes about every second time.
std::vector<StationWish> even_chance() {
    std::vector<StationWish> out;
    for (int k = 0; k < 4; ++k) {
        StationWish w = wish("about every second one drops", {1.0, 4.0});
        w.chance = Span{0.42, 0.58};
        out.push_back(w);
    }
    return out;
}

// Two breaking putts, one from each hand, and for each a new one of like break for the end of the lesson.
std::vector<StationWish> own_read() {
    std::vector<StationWish> out;
    for (const PuttSide side : {PuttSide::right_to_left, PuttSide::left_to_right}) {
        StationWish w = wish("own read; then with the marker; then pick a mark on the start line", {2.0, 4.0});
        w.side = side;
        w.break_m = Span{0.10, 0.60};
        out.push_back(w);
    }
    for (std::size_t k = 0; k < 2; ++k) {
        StationWish w = out[k];
        w.note = "retest without help";
        w.like = k;
        out.push_back(w);
    }
    return out;
}

}  // namespace

const std::vector<LessonKind>& lesson_kinds() {
    static const std::vector<LessonKind> kinds = {
        {"fall-line", "Find the line on which a putt runs straight, and feel how differently uphill and downhill run.",
         "Two to four balls straight below and straight above the hole, where nothing breaks.", {}},
        {"ladder", "See break grow: the length stays the same and only the angle to the slope changes.",
         "Four or five balls at one distance whose breaks rise in near-equal steps.", {}},
        {"both-hands", "Read the same break from both sides: left to right asks for as much as right to left.",
         "Pairs of balls at one distance with equal break, one from each hand.", {}},
        {"three-paces", "Learn that pace chooses the line: a firm putt takes less break than a dying one.",
         "One ball with three markers: dead weight, usual pace and firm.", {}},
        {"ring", "Walk round the hole and meet every slope of it at one distance.",
         "Eight balls evenly round one hole at one distance; those that share one aim are named.", {}},
        {"downhill-pace", "Learn how little it takes downhill: the slope does the work and a firm putt runs away.",
         "Three balls above the hole at about 2, 3 and 4 m on a fall of 1.2 % or more, with a break under an eighth of the length.", downhill_pace()},
        {"two-tier", "Judge the climb and the drop of a step: the pace is set by the tier, the line by the ground after it.",
         "Three balls on the other side of a tier, 3 to 8 m from the hole: uphill to a hole above it, downhill to one below.", two_tier()},
        {"start-gate", "Start the ball on line: with no break to read, a miss is the stroke alone.",
         "Straight putts of about 1.5 and 3 m, level to gently uphill, with a gate on the start line.", start_gate()},
        {"even-chance", "Know the length from which about every second putt drops, and count.",
         "Four balls round the hole with a chance of 42 to 58 % for a fair amateur (1 degree of start line, 6 % of pace).", even_chance()},
        {"own-read", "Find out whether the read or the start line is at fault, and take what you see to a new putt.",
         "Two breaking putts from opposite hands, and for each a new one of like break at least 2 m away for the retest.", own_read()},
    };
    return kinds;
}

}  // namespace brae
