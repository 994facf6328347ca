// What the motion of balls says of a hole's place: whole-green reads at a few paces and what happens past the hole.
//
// For one hole and green speed. A read of the whole green costs a family of rays, whatever the number of spots; a table of
// balls rolled on from the covered hole, over entry bearing and pace, says where each of them would stop. So no spot is
// solved by itself. docs/hole_positions.md has the method, its approximations and what they cost.
#pragma once

#include "core/plan/hole_ground.h"
#include "core/solve/level_chance.h"

#include <cstddef>
#include <memory>

namespace brae {

struct MotionFacts {
    // Ball spots on the lattice but for those where a ball does not rest. `blocked`: no path stays on the green although no
    // ground runs away on the line, so that nothing is said of them. `lost`: no pace stops within the limit.
    std::size_t spots = 0, stoppable = 0, lost = 0, blocked = 0;
    double stoppable_share = 0;              // of stoppable and lost
    std::optional<Vec2> lost_spot;           // the nearest of them

    // From above (within 45 degrees of the fall line, every second spot each way): the slowest putt that reaches the hole, its
    // aim off by a hole radius to either side.
    std::size_t above = 0;
    double run_past_m = 0;                   // the farthest stop from the hole's centre; infinite where one leaves the green
    std::optional<Vec2> run_past_spot;

    // Expected putts of the player (every third spot each way), at the usual pace.
    std::size_t putted = 0;
    double easy_share = 0, level_easy_share = 0;   // at most limits.easy_putts; level: from the same distances on level ground
    double mean_putts = 0;

    // Direction windows at the usual pace from the ball spots 1 to 2 m away all round, whole width.
    double window_share = 0;                 // the narrowest against level ground from as far; not over 1
    double window_deg = 0, window_from_m = 0;   // that one

    int paces = 0;                           // families traced, at most 5
    std::size_t rolls = 0;
};

// Paces that are tried, m past the hole: dead weight and the usual pace for every hole; slower or faster ones only where
// spots are left that neither stops.
inline constexpr double kHolePaces[5] = {kDeadWeightPastM, kUsualPastM, 0.03, 0.61, 1.0};

// Spots that the dearer questions are asked from: every n-th each way.
inline constexpr int kAboveEvery = 2, kPuttsEvery = 3;

// Expected putts on level ground as a table of length, for one player and green speed; shared by all places.
class LevelPutts {
public:
    LevelPutts(const LaunchErrors& errors, double green_speed_ft);
    double expected(double distance_m) const;          // 1 to 4
    double longest(double putts) const;                // farthest distance with at most so many expected, m
    double half_width(double speed_mps) const;         // what the level hole takes of a ball that passes so fast, m
    const LaunchErrors& errors() const { return errors_; }
private:
    LaunchErrors errors_;
    std::vector<double> expected_, half_width_;
};

// Keeps readers and rolls of one green and speed. One thread at a time; its answers are the same bits in any order.
class HoleMotion {
public:
    // Both must outlive it.
    HoleMotion(const HoleGround& ground, double green_speed_ft, const LevelPutts& level);
    ~HoleMotion();
    HoleMotion(const HoleMotion&) = delete;
    HoleMotion& operator=(const HoleMotion&) = delete;

    // p on the green. A few milliseconds on smooth ground. `progress` is asked for cancel within each family.
    MotionFacts judge(Vec2 p, const Progress& progress);
    // Of the place judged last, spot by spot, for maps and checks; same layout as `spots` (limits.spot_spacing_m from the
    // outline's box), valid until the next judgement.
    enum class Fate : unsigned char { none, stops, lost, blocked };
    const std::vector<Fate>& fates() const;
    const Raster& spots() const;           // no values meant; centres of its cells are the ball spots

private:
    struct State;
    std::unique_ptr<State> state_;
};

// Rows "stopping", "from above", "putts", "window".
std::vector<Criterion> motion_criteria(const MotionFacts& facts, double green_speed_ft, const HoleLimits& limits);

}  // namespace brae
