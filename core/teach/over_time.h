// More than one look at a player: the first phase of a lesson against the retest, and one lesson as the start of the next.
#pragma once

#include "core/teach/lesson_estimate.h"

#include <optional>

namespace brae {

// Mean error of the told reads towards the low side (rad), over putts that break: before, at the retest, and the change that
// the player's read has made. The change allows for what is peculiar to putts and stations, since the retest has others.
struct RetestTold {
    int before_putts = 0, retest_putts = 0;
    Told90 before, retest;      // of the putts that were hit
    Told90 change;              // retest less before; negative: less low
};
// None where one of the two phases has no told read.
std::optional<RetestTold> compare_retest(const PlayerModel& model, const LessonEstimate& estimate);

// The baseline that a lesson leaves for the next one: means and spreads of the posterior, each taken alone, widened by what a
// player may change from week to week (1 sigma: 0.3 degrees, 8 % of the break, 2 % of launch, 0.15 in ln of spreads; own choices), never
// wider than `first`.
PlayerPrior prior_after(const LessonEstimate& estimate, const PlayerPrior& first = {});

}  // namespace brae
