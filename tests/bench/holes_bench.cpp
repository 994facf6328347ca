// How long a green's hole positions take, how that grows, how it compares with shooting from every spot, and what a plan over
// a course is worth against simpler ones. Prints this run's figures; fails where one is below what is promised.
#include "core/base/units.h"
#include "core/plan/course_plan.h"
#include "core/plan/hole_judge.h"
#include "core/roll/green_speed.h"
#include "core/solve/green_reads.h"
#include "tests/bench/common.h"
#include "tests/bench/ground.h"
#include "tests/bench/rolling_peer.h"
#include "tests/bench/shooting_peer.h"
#include "tests/support/course.h"

#include <algorithm>
#include <cstdio>
#include <ctime>
#include <memory>
#include <string>
#include <tbb/global_control.h>
#include <utility>

using namespace brae;
using namespace brae::bench;

namespace {

// Seconds of all cores together: the wall clock tells little on a busy machine.
double cpu_seconds_of(const auto& work) {
    const std::clock_t began = std::clock();
    work();
    return double(std::clock() - began) / CLOCKS_PER_SEC;
}

TerrainModel green_on(const SplineSurface& surface, double side) {
    TerrainModel out;
    out.surface = std::make_shared<SplineSurface>(surface);
    out.outline = square(side / 2);
    return out;
}

constexpr double kPeerTolerance = 1e-3;   // looser than either side needs to be exact
constexpr double kSide = 24.5;            // 600 m2

// One hole judged as one would without this program: from every ball spot in turn a read by Newton shooting at both paces and a
// ball rolled on past the covered hole; then as many balls as the judgement itself rolls. The spots' answers start from their
// neighbours', rows to and fro. Returns seconds of one core.
double shoot_one_hole(const SplineSurface& surface, const Outline& outline, Vec2 hole, std::size_t rolls) {
    const double decel = level_deceleration(kFeet);
    Raster layout(49, 49, -kSide / 2, -kSide / 2, 0.5);
    std::vector<RollState> starts;
    double checksum = 0;
    const double seconds = cpu_seconds_of([&] {
        for (const double past : {kHolePaces[0], kHolePaces[1]}) {
            const double v = speed_at_hole(past, kFeet);
            const ShootingPeer peer(surface, hole, decel, v, kPeerTolerance);
            PeerLaunch warm;
            bool have = false;
            for (int j = 0; j < layout.rows; ++j)
                for (int n = 0; n < layout.columns; ++n) {
                    const Vec2 ball = layout.centre(j % 2 ? layout.columns - 1 - n : n, j), line = hole - ball;
                    if (norm(line) < 2 * kHoleRadius || !outline.contains(ball)) continue;
                    const PeerLaunch cold{std::atan2(line.y, line.x), std::sqrt(v * v + 2 * decel * norm(line))};
                    PeerLaunch guess = have ? warm : cold;
                    bool solved = peer.solve(ball, guess);
                    if (!solved) guess = cold, solved = peer.solve(ball, guess);
                    have = solved;
                    if (!solved) continue;
                    warm = guess;
                    starts.push_back({ball, guess.speed * Vec2{std::cos(guess.angle), std::sin(guess.angle)}});
                    // Past the hole, as the ball came, near enough.
                    checksum += peer_rest(surface, decel, {hole, v * unit(line)}, kPeerTolerance, kSide / 2).x;
                }
        }
        for (std::size_t k = 0; k < rolls && !starts.empty(); ++k)
            checksum += peer_rest(surface, decel, starts[(7 * k) % starts.size()], kPeerTolerance, kSide / 2).x;
    });
    return checksum == 12345.678 ? 0 : seconds;
}

bool compare(const char* name, const SplineSurface& surface) {
    Progress quiet;
    const TerrainModel green = green_on(surface, kSide);
    HoleLimits limits;
    double cpu = 0, wall = 0;
    GreenJudgement judged;
    {
        const tbb::global_control two(tbb::global_control::max_allowed_parallelism, 2);
        const HoleJudge judge(green, {}, kFeet, limits);
        cpu = cpu_seconds_of([&] { wall = seconds_of([&] { judged = judge.judge_green(HoleScope::every_place, quiet); }); });
    }
    // A few holes by the peer, on the same cores in the same run.
    const HoleJudge judge(green, {}, kFeet, limits);
    double theirs = 0, ours = 0;
    int count = 0;
    std::size_t paces = 0;
    for (Vec2 hole : {Vec2{-6, 3}, Vec2{5, 5.5}, Vec2{-0.5, -4}, Vec2{4, -7.5}}) {
        const MotionFacts facts = judge.motion(hole);
        theirs += shoot_one_hole(surface, green.outline, hole, facts.rolls);
        const tbb::global_control one(tbb::global_control::max_allowed_parallelism, 1);
        ours += cpu_seconds_of([&] { for (int k = 0; k < 5; ++k) judge.judge(hole); }) / 5;
        paces += facts.paces;
        ++count;
    }
    const double one_core = theirs / ours, places = static_cast<double>(judged.places.size());
    std::printf("\n%s, 600 m2, %zu candidates from all ball spots at 0.5 m, %.1f paces a candidate:\n", name, judged.places.size(), double(paces) / count);
    std::printf("  %.1f s of two cores (%.1f s on the clock), %.1f ms of one core a candidate\n", cpu / 2, wall, 1e3 * cpu / places);
    std::printf("  shooting from every spot: %.0f ms of one core a candidate; ratio %.0f core for core, %.0f for both cores against its one\n", 1e3 * theirs / count,
                one_core, 2 * one_core);
    // As for whole greens, both cores against the one that shooting uses.
    const bool good = cpu / 2 < 30 && 2 * one_core >= 60;
    std::printf("  under 30 s on two cores and at least 60 times: %s\n", good ? "holds" : "BELOW");
    return good;
}

// A hole that is dragged over 600 m2 by hand, 10 cm a step, each place judged by every criterion; one core.
bool drag() {
    std::printf("\na hole dragged over 600 m2, ms of one core a step:\n");
    bool good = true;
    for (const auto& [name, surface] : {std::pair{"long waves", ground(1, 0)}, std::pair{"with 0.1 mm of roughness", ground(2, 0.0001)}}) {
        const TerrainModel green = green_on(surface, kSide);
        std::unique_ptr<HoleJudge> judge;
        const double start = cpu_seconds_of([&] { judge = std::make_unique<HoleJudge>(green, GreenAround{}, kFeet, HoleLimits{}); });
        const double first = cpu_seconds_of([&] { judge->judge({-8, -6}); });
        double sum = 0, worst = 0;
        constexpr int kSteps = 200;
        for (int k = 1; k <= kSteps; ++k) {
            const double s = cpu_seconds_of([&] { judge->judge({-8 + 0.08 * k, -6 + 0.06 * k}); });
            sum += s, worst = std::max(worst, s);
        }
        std::printf("  %-26s mean %.1f, worst %.1f; once at the start %.0f for the green and %.0f for the first place\n", name, 1e3 * sum / kSteps, 1e3 * worst, 1e3 * start, 1e3 * first);
        good = good && worst < 0.05;
    }
    std::printf("  under 50 ms a step: %s\n", good ? "holds" : "BELOW");
    return good;
}

// Growth with area and with the spacing of candidates and of ball spots, core seconds.
void growth() {
    Progress quiet;
    const SplineSurface surface = ground(1, 0);
    std::printf("\ngrowth, long waves, seconds of one core:\n");
    const auto row = [&](double side, double spacing, double spots) {
        HoleLimits limits;
        limits.spacing_m = spacing;
        limits.spot_spacing_m = spots;
        const TerrainModel green = green_on(surface, side);
        const HoleJudge judge(green, {}, kFeet, limits);
        std::size_t places = 0;
        const double s = cpu_seconds_of([&] { places = judge.judge_green(HoleScope::every_place, quiet).places.size(); });
        std::printf("  %4.0f m2, candidates every %.2f m (%5zu), spots every %.2f m: %6.1f s, %5.2f ms a candidate\n", side * side, spacing, places, spots, s,
                    1e3 * s / static_cast<double>(places));
    };
    for (const double side : {12.25, 17.3, 24.5}) row(side, 1, 0.5);
    row(24.5, 0.7, 0.5);
    row(24.5, 1, 1);
    row(24.5, 1, 0.25);
}

bool compare_plans() {
    Progress quiet;
    const auto greens = test::random_course(19, 40, 7);
    const CourseRules rules;
    CoursePlan plan;
    const double s = seconds_of([&] { plan = plan_course(greens, 14, rules, quiet); });
    std::printf("\n19 greens x 14 days x 40 places: gap %.1f %%, %d nodes, %.0f s\n", 100 * plan.gap, plan.nodes, s);
    std::printf("  %-12s %7s %9s %11s %9s %7s %6s %6s\n", "", "broken", "thirds", "difficulty", "left-right", "3 alike", "wear", "score");
    const auto row = [&](const char* name, const std::vector<std::vector<int>>& picks) {
        const CourseWorth w = judge_course(greens, picks, rules);
        std::printf("  %-12s %7d %9.2f %11.2f %9.2f %7d %6.3f %6.3f\n", name, w.broken, w.third_off, w.difficulty_off, w.side_off, w.rows_of_three, w.wear, w.score);
        return w;
    };
    const CourseWorth ours = row("this plan", plan.picks), lot = row("by lot", test::simple_plan(greens, 14, rules, true)),
                      turn = row("in turn", test::simple_plan(greens, 14, rules, false));
    const auto beats = [&](const CourseWorth& other) {
        // Taking the thirds in turn balances those and nothing else, so that balance is all three together.
        const auto off = [](const CourseWorth& w) { return w.third_off + w.difficulty_off + w.side_off; };
        return ours.wear < other.wear && off(ours) < off(other) && ours.rows_of_three <= other.rows_of_three;
    };
    const bool good = ours.broken == 0 && plan.gap <= 0.05 && beats(lot) && beats(turn);
    std::printf("  gap at most 5 %%, no rule broken, better in wear and balance than both: %s\n", good ? "holds" : "BELOW");
    return good;
}

}  // namespace

int main(int argc, char** argv) {
    const std::string only = argc > 1 ? argv[1] : "";
    bool good = true;
    if (only.empty() || only == "judge") {
        good = compare("long waves", ground(1, 0)) && good;
        good = compare("long waves with 0.1 mm of roughness", ground(2, 0.0001)) && good;
    }
    if (only.empty() || only == "drag") good = drag() && good;
    if (only.empty() || only == "growth") growth();
    if (only.empty() || only == "plan") good = compare_plans() && good;
    return good ? 0 : 1;
}
