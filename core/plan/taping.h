// Positions by tape: from two known points to a third, and how good the crossing is.
#pragma once

#include "core/base/vec.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

struct TapePoint { std::string name; Vec2 p; };
struct TapeReading { TapePoint from; double metres = 0; };

enum class TapeSide { left, right };  // as one stands on the first mark and looks at the second

struct TapeFix {
    Vec2 p;
    double crossing_deg = 0;            // angle under which the two tapes meet
    double se_m = 0;                    // one standard error when each tape is wrong by 1 cm (1.4 cm at 90 degrees)
    std::optional<double> residual_m;   // largest misfit of a check tape
};

// Least squares over all tapes (two or more); with two, the side or a check tape tells the mirror solutions apart, and
// the outline-free caller gets Error(usage) when neither was given. Throws Error when no two tapes come within
// 3 cm of meeting (least squares shares a smaller miss), when a check starts at a mark already taped from (usage), when the
// crossing is under 30 or over 150 degrees (naming the angle and, of the `known` marks, the pair that crosses best at that
// place, or that there is none), or when a check is off by more than 3 cm
// ("measure again").
TapeFix locate_by_tapes(const std::vector<TapeReading>& tapes, std::optional<TapeSide> side,
                        const std::vector<TapeReading>& checks, const std::vector<TapePoint>& known = {});

// Where the circles of two tapes meet: the place on the left as one looks from the first mark to the second, then its mirror
// image; one place where they touch, none where they do not meet or a reading is no length. And the angle under which tapes
// from a and b meet at p, degrees in [0, 180].
std::vector<Vec2> tape_crossings(const TapeReading& first, const TapeReading& second);
double crossing_deg(Vec2 a, Vec2 b, Vec2 p);
// Whether tapes that cross so fix a place: 30 to 150 degrees.
bool crosses_well(double crossing_deg);

// The best pair of known points to set out p from: crossing nearest to 90 degrees, tapes at most 30 m (a common tape),
// plus one check distance from a third point where there is one. Empty when no pair crosses within 30-150 degrees.
struct TapePlan {
    TapeReading first, second;
    TapeSide side = TapeSide::left;
    std::optional<TapeReading> check;
    double crossing_deg = 0, se_m = 0;
};
std::optional<TapePlan> plan_tapes(const std::vector<TapePoint>& known, Vec2 p);

}  // namespace brae
