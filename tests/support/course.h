// A course of random fair places for the tests and the benchmark of the plan over days, and two simple planners to compare with.
#pragma once

#include "core/base/random.h"
#include "core/plan/course_plan.h"

#include <algorithm>
#include <string>
#include <vector>

namespace brae::test {

inline std::vector<CourseGreen> random_course(int greens, int places, std::uint64_t seed) {
    Random r(seed);
    std::vector<CourseGreen> out;
    for (int g = 0; g < greens; ++g) {
        CourseGreen green;
        green.name = std::to_string(g + 1);
        green.counts = g < 18;
        const double base = r.uniform();
        for (int c = 0; c < places; ++c) {
            CourseCandidate k;
            k.p = {r.uniform(4, 20), r.uniform(4, 26)};
            k.score = r.uniform(0.3, 1);
            k.difficulty = 0.5 * base + r.uniform();
            k.along = std::min(2, static_cast<int>(3 * (k.p.y - 4) / 22));
            k.across = std::min(2, static_cast<int>(3 * (k.p.x - 4) / 16));
            k.wear = r.uniform(0, 0.5);
            green.candidates.push_back(k);
        }
        for (int d = 1; d <= 7; ++d) green.past.push_back({{r.uniform(4, 20), r.uniform(4, 26)}, d});
        out.push_back(std::move(green));
    }
    return out;
}

// Whether a place keeps the hard rules against the past and what is picked already.
inline bool keeps_rules(const CourseGreen& green, const std::vector<int>& picks, int c, int day, const CourseRules& rules) {
    const auto near = [&](Vec2 p, int ago) {
        const double away = distance(p, green.candidates[c].p);
        return (ago <= rules.apart_days && away < rules.apart_m) || (ago <= rules.healing_days && away < rules.plug_m);
    };
    for (const PastHole& h : green.past)
        if (near(h.p, h.days_before + day)) return false;
    for (int d = 0; d < day; ++d)
        if (picks[d] >= 0 && near(green.candidates[picks[d]].p, day - d)) return false;
    return green.candidates[c].from_day <= day;
}

// By lot among the places that keep the hard rules; or front, middle, back in turn, the best of those.
inline std::vector<std::vector<int>> simple_plan(const std::vector<CourseGreen>& greens, int days, const CourseRules& rules, bool by_lot) {
    Random r(11);
    std::vector<std::vector<int>> out;
    for (std::size_t g = 0; g < greens.size(); ++g) {
        std::vector<int> picks(days, -1);
        for (int d = 0; d < days; ++d) {
            std::vector<int> open;
            for (int c = 0; c < static_cast<int>(greens[g].candidates.size()); ++c)
                if (keeps_rules(greens[g], picks, c, d, rules)) open.push_back(c);
            if (open.empty()) continue;
            if (by_lot) {
                picks[d] = open[static_cast<std::size_t>(r.uniform() * static_cast<double>(open.size()))];
                continue;
            }
            const int turn = (d + static_cast<int>(g)) % 3;
            picks[d] = *std::max_element(open.begin(), open.end(), [&](int a, int b) {
                const auto& x = greens[g].candidates[a];
                const auto& y = greens[g].candidates[b];
                return x.score + (x.along == turn) < y.score + (y.along == turn);
            });
        }
        out.push_back(picks);
    }
    return out;
}

}  // namespace brae::test
