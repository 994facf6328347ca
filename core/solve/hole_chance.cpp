#include "core/solve/hole_chance.h"

#include "core/roll/run_roll.h"
#include "core/base/units.h"
#include "core/solve/level_chance.h"
#include "core/solve/quadrature.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace brae {

namespace {

// The player's errors round what is meant, as angle and speed. A bias to the right turns clockwise.
struct Scatter {
    double angle, turn, speed, push;
    Scatter(const HolingRegion& region, const LaunchErrors& e, Launch meant)
        : angle(region.solution.angle + wrapped(meant.angle - region.solution.angle) - e.lean), turn(e.turn),
          speed(meant.speed * (1 + e.bias_rel)), push(meant.speed * e.push_rel) {}
    double direction_density(double a) const { return normal_density((a - angle) / turn) / turn; }
};

}  // namespace

HoleChance chance_to_hole(const HolingRegion& region, const LaunchErrors& errors, Launch meant) {
    errors.check_model(region.capture);
    HoleChance out;
    const Scatter s(region, errors, meant);
    const auto& rule = gauss_rule<6>();
    for (const RegionPanel& p : region.panels) {
        if (p.from.angle > s.angle + 9 * s.turn || p.to.angle < s.angle - 9 * s.turn) continue;
        // No piece wider than half a sigma.
        const double width = p.to.angle - p.from.angle;
        const int pieces = std::max(1, int(std::ceil(std::min(width / (0.5 * s.turn), 1e5))));
        for (int k = 0; k < pieces; ++k)
            for (std::size_t i = 0; i < rule.x.size(); ++i) {
                const double at = p.from.angle + width * (k + 0.5 + 0.5 * rule.x[i]) / pieces;
                const RegionNode n = p.at(at);
                out.chance += 0.5 * rule.w[i] * width / pieces * s.direction_density(at) *
                              normal_between((n.slow - s.speed) / s.push, (n.fast - s.speed) / s.push);
            }
    }
    out.chance = std::min(out.chance, 1.0);
    // Nowhere is the density over 1 / (2 pi sigma sigma).
    out.error = std::min(1.0, region.area_error / (2 * kPi * s.turn * s.push));
    return out;
}

ExpectedStrokes expected_strokes(const PuttGround& ground, const HolingRegion& region, const LaunchErrors& errors,
                                 Launch meant, double green_speed_ft, double past_m) {
    ExpectedStrokes out;
    out.one = chance_to_hole(region, errors, meant).chance;
    const LevelPlayer next(errors, green_speed_ft, past_m);
    const Scatter s(region, errors, meant);

    // Where the missed balls lie: rolled from nodes of Gauss's rule, short and long balls apart.
    double weight = 0, within_one = 0, within_two = 0, leave_sum = 0, left = 0;
    const SurfaceJet jet = ground.surface.jet(ground.ball.x, ground.ball.y);
    const auto roll_part = [&](double angle, double w, double from, double to, const auto& rule) {
        if (!(to > from)) return;
        for (std::size_t k = 0; k < rule.x.size(); ++k) {
            const double v = 0.5 * (from + to) + 0.5 * (to - from) * rule.x[k];
            const double share = w * rule.w[k] * 0.5 * (to - from) * normal_density((v - s.speed) / s.push) / s.push;
            RollRun run;
            run.tolerance = 1e-5;
            const RollOutcome end = run_roll(ground.surface, ground.outline,
                                             {ground.ball, horizontal_velocity(jet, {std::cos(angle), std::sin(angle)}, v)},
                                             ground.level_decel, run, nullptr);
            ++out.rolls;
            const double leave = distance(end.at.p, ground.hole);
            weight += share;
            within_one += share * next.within_one(leave);
            within_two += share * next.within_two(leave);
            leave_sum += share * leave;
            if (end.end == RollEnd::left_green) left += share;
        }
    };

    // Directions by pieces of about a sigma, cut where the region begins and ends.
    constexpr double kReach = 4;  // sigmas
    std::vector<double> cuts;
    for (int k = -4; k <= 4; ++k) cuts.push_back(s.angle + k * kReach / 4 * s.turn);
    if (!region.panels.empty())
        for (const double edge : {region.lowest_angle(), region.highest_angle()})
            if (edge > cuts.front() && edge < cuts[8]) cuts.push_back(edge);
    // And where a limit jumps.
    for (const RegionPanel& p : region.panels)
        if (p.to.angle - p.from.angle < 0.02 * s.turn && p.to.angle > cuts.front() && p.to.angle < cuts[8] &&
            std::max(std::abs(p.to.slow - p.from.slow), std::abs(p.to.fast - p.from.fast)) > 0.1 * s.push)
            cuts.push_back(p.middle.angle);
    std::sort(cuts.begin(), cuts.end());
    const double slowest = std::max(1e-3, s.speed - kReach * s.push), fastest = std::max(slowest, s.speed + kReach * s.push);
    for (std::size_t c = 1; c < cuts.size(); ++c) {
        const auto& rule = gauss_rule<3>();
        const double half = 0.5 * (cuts[c] - cuts[c - 1]);
        for (std::size_t i = 0; i < rule.x.size(); ++i) {
            const double angle = 0.5 * (cuts[c] + cuts[c - 1]) + half * rule.x[i];
            const double w = half * rule.w[i] * s.direction_density(angle);
            // Between the intervals that hole; where there is none, cut at the middle all the same.
            std::vector<RegionNode> holed = region.at(angle);
            if (holed.empty()) holed.push_back({angle, s.speed, s.speed});
            double from = slowest;
            for (const RegionNode& n : holed) {
                roll_part(angle, w, from, std::min(n.slow, fastest), gauss_rule<12>());
                from = std::max(from, n.fast);
            }
            roll_part(angle, w, from, fastest, gauss_rule<12>());
        }
    }
    const double miss = 1 - out.one;
    if (weight > 0) {
        within_one = out.one + miss * within_one / weight;
        within_two = out.one + miss * within_two / weight;
        out.mean_leave_m = leave_sum / weight;
        out.left_green = miss * left / weight;
    } else {
        within_one = within_two = 1;
    }
    out.two = within_one - out.one;
    out.three = std::max(0.0, within_two - within_one);
    out.more = 1 - std::max(within_one, within_two);
    out.strokes = 1 + miss + (1 - within_one) + out.more;
    return out;
}

}  // namespace brae
