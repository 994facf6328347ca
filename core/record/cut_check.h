// What of the limits a place breaks where a hole is told as cut or set, and the holes of other days that it lies near to.
#pragma once

#include "core/plan/hole_judge.h"
#include "core/record/green.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

struct CutCheck {
    std::optional<HolePosition> judged;    // none for a day that is past asking for, and where no speed is known
    std::vector<std::string> remarks;      // in words; the hole is kept all the same
};

// By the speed that is told, else the green's reading of that day. `p` in local metres. Some tens of milliseconds.
CutCheck check_cut(const Green& green, Vec2 p, const std::string& date, std::optional<double> told_ft, const HoleLimits& limits);

}  // namespace brae
