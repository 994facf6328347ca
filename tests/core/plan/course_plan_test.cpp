#include "core/plan/course_plan.h"

#include "core/base/error.h"
#include "tests/support/course.h"
#include "tests/support/support.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

using namespace brae;
using namespace brae::test;

namespace {

CoursePlan planned(const std::vector<CourseGreen>& greens, int days, const CourseRules& rules = {}) {
    Progress progress;
    return plan_course(greens, days, rules, progress);
}

}  // namespace

TEST_CASE("a plan breaks no hard rule and is better balanced than by lot and than thirds in turn") {
    const auto greens = random_course(9, 24, 5);
    const CourseRules rules;
    const CoursePlan plan = planned(greens, 5, rules);
    REQUIRE(plan.picks.size() == 9);
    CHECK(plan.gap <= 0.05 + 1e-9);
    // Hard rules, counted again by hand.
    for (std::size_t g = 0; g < greens.size(); ++g)
        for (int d = 0; d < 5; ++d) {
            REQUIRE(plan.picks[g][d] >= 0);
            CHECK(keeps_rules(greens[g], plan.picks[g], plan.picks[g][d], d, rules));
        }
    const CourseWorth ours = judge_course(greens, plan.picks, rules), lot = judge_course(greens, simple_plan(greens, 5, rules, true), rules),
                      turn = judge_course(greens, simple_plan(greens, 5, rules, false), rules);
    CHECK(ours.broken == 0);
    CHECK(ours.rows_of_three == 0);
    for (const CourseWorth& other : {lot, turn}) {
        CHECK(ours.difficulty_off < other.difficulty_off);
        CHECK(ours.wear < other.wear);
        CHECK(ours.third_off <= other.third_off);
    }
    CHECK(ours.score > lot.score);
}

TEST_CASE("on one small green the plan costs no more than the best of all plans") {
    // Three days, six places: all 216 plans are tried, by the planner's own prices read from the result's worth.
    CourseGreen green;
    green.name = "practice";
    green.counts = false;
    for (int c = 0; c < 6; ++c) {
        CourseCandidate k;
        k.p = {2.0 * c, 0};
        k.score = 0.5 + 0.08 * ((c * 5) % 6);
        k.along = c / 2;
        green.candidates.push_back(k);
    }
    CourseRules rules;
    rules.gap = 0;
    const CoursePlan plan = planned({green}, 3, rules);
    double best = 0;
    for (int n = 0; n < 216; ++n) {
        const std::vector<int> picks = {n % 6, n / 6 % 6, n / 36};
        bool clear = true;
        for (int d = 0; d < 3; ++d) clear = clear && keeps_rules(green, picks, picks[d], d, rules);
        std::set<int> thirds;
        for (int c : picks) thirds.insert(green.candidates[c].along);
        // A third used twice where its share is one costs 0.4, and so does one that is not used.
        double worth = -0.8 * (3 - static_cast<double>(thirds.size()));
        for (int c : picks) worth += green.candidates[c].score;
        if (clear) best = std::max(best, worth);
    }
    double worth = 0;
    std::set<int> thirds;
    for (int c : plan.picks[0]) worth += green.candidates[c].score, thirds.insert(green.candidates[c].along);
    CHECK(worth - 0.8 * (3 - static_cast<double>(thirds.size())) == doctest::Approx(best));
}

TEST_CASE("holes set by hand stay and the rest keeps clear of them") {
    auto greens = random_course(4, 20, 9);
    greens[1].past.clear();
    greens[1].by_hand = {{2, 7}};
    const CoursePlan plan = planned(greens, 4);
    CHECK(plan.picks[1][2] == 7);
    for (int d = 0; d < 4; ++d)
        if (d != 2 && plan.picks[1][d] >= 0)
            CHECK(distance(greens[1].candidates[plan.picks[1][d]].p, greens[1].candidates[7].p) >= 3);
    // Two by hand that stand too near are kept, and said.
    greens[2].candidates[3].p = greens[2].candidates[4].p + Vec2{0.5, 0};
    greens[2].by_hand = {{0, 3}, {1, 4}};
    const CoursePlan close = planned(greens, 4);
    CHECK(close.picks[2][0] == 3);
    CHECK(close.picks[2][1] == 4);
    CHECK(std::any_of(close.remarks.begin(), close.remarks.end(),
                      [](const std::string& r) { return r.find("set by hand for days 1 and 2 are 0.5 m apart") != std::string::npos; }));
}

TEST_CASE("a green without room says on how many days, and ground opens on its day") {
    auto greens = random_course(3, 10, 2);
    greens[0].past.clear();
    for (auto& c : greens[0].candidates) c.p = {5, 5};
    greens[1].past.clear();
    for (auto& c : greens[1].candidates) c.from_day = 2;
    const CoursePlan plan = planned(greens, 3);
    CHECK(std::count(plan.picks[0].begin(), plan.picks[0].end(), -1) == 2);
    CHECK(plan.picks[1][0] == -1);
    CHECK(plan.picks[1][1] == -1);
    CHECK(plan.picks[1][2] >= 0);
    CHECK(plan.without[0].starts_with("on 2 of 3 days"));
    CHECK(plan.without[2].empty());
}

TEST_CASE("the same course gives the same plan") {
    const auto greens = random_course(6, 18, 4);
    CHECK(planned(greens, 4).picks == planned(greens, 4).picks);
}

TEST_CASE("wrong questions are refused") {
    auto greens = random_course(2, 5, 1);
    CHECK_THROWS_AS(planned(greens, 0), Error);
    CHECK_THROWS_AS(planned(greens, 15), Error);
    greens[0].by_hand = {{0, 99}};
    CHECK_THROWS_WITH_AS(planned(greens, 2), doctest::Contains("no place of this plan"), Error);
    greens[0].by_hand = {{0, 1}, {0, 2}};
    CHECK_THROWS_WITH_AS(planned(greens, 2), doctest::Contains("two holes are set by hand for day 1"), Error);
    Progress progress;
    progress.cancel();
    CHECK_THROWS_AS(plan_course(random_course(3, 10, 1), 3, {}, progress), Error);
}

TEST_CASE("forty diverse places keep the best and spread over the green") {
    const auto greens = random_course(1, 300, 8);
    const auto& all = greens[0].candidates;
    const std::vector<int> some = diverse(all, 40);
    REQUIRE(some.size() == 40);
    CHECK(std::is_sorted(some.begin(), some.end()));
    const auto best = std::max_element(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.score < b.score; });
    CHECK(std::count(some.begin(), some.end(), static_cast<int>(best - all.begin())) == 1);
    // Every place of the green is within 4 m of one of them.
    for (const auto& c : all) {
        double near = 1e9;
        for (int k : some) near = std::min(near, distance(c.p, all[k].p));
        CHECK(near < 4);
    }
    CHECK(diverse(all, 1000).size() == 300);
}

TEST_CASE("on a skipped day no hole is cut, and the one before stays in use for the distances") {
    auto greens = random_course(4, 30, 9);
    greens[0].past.clear();
    greens[0].skipped = {1, 2};
    const CoursePlan plan = planned(greens, 11);
    CHECK(plan.picks[0][1] == -1);
    CHECK(plan.picks[0][2] == -1);
    CHECK(plan.without[0].empty());
    CHECK(judge_course(greens, plan.picks, {}).broken == 0);
    // The hole of the first day is in use up to the third: the days up to the tenth keep clear of it.
    REQUIRE(plan.picks[0][0] >= 0);
    for (int d = 3; d <= 9; ++d)
        if (plan.picks[0][d] >= 0) CHECK(distance(greens[0].candidates[plan.picks[0][d]].p, greens[0].candidates[plan.picks[0][0]].p) >= 3);
    greens[0].by_hand = {{1, 4}};
    CHECK_THROWS_WITH_AS(planned(greens, 11), doctest::Contains("on which none is cut"), Error);
}

TEST_CASE("one green over a week gets its front, middle and back, though one of them is fairer; a third that is left out is told why") {
    CourseGreen green;
    green.name = "7";
    for (int along = 0; along < 3; ++along)
        for (int k = 0; k < 8; ++k) {
            CourseCandidate c;
            c.p = {3.2 * k, 6.0 * along};
            c.along = along;
            c.score = along == 2 ? 0.35 : 0.6;   // the back is fair, and less so
            green.candidates.push_back(c);
        }
    const CoursePlan plan = planned({green}, 7);
    std::array<int, 3> used{};
    for (int c : plan.picks[0]) ++used[green.candidates[c].along];
    for (int n : used) CHECK(n >= 2);
    CHECK(plan.remarks.empty());

    std::erase_if(green.candidates, [](const CourseCandidate& c) { return c.along == 2; });
    const CoursePlan without = planned({green}, 7);
    REQUIRE(without.remarks.size() == 1);
    CHECK(without.remarks[0] == "green 7: the back third gets no hole: no fair place lies there");
    // Closed until after the plan.
    CourseCandidate late;
    late.p = {0, 12};
    late.along = 2;
    late.from_day = 7;
    green.candidates.push_back(late);
    CHECK(planned({green}, 7).remarks.at(0).find("its 1 fair places are closed") != std::string::npos);
}

TEST_CASE("days without a hole are told by their own cause: no fair place, closed ground, or distances") {
    auto greens = random_course(3, 12, 2);
    for (CourseGreen& g : greens) g.past.clear();
    greens[0].candidates.clear();
    for (auto& c : greens[1].candidates) c.from_day = 2;
    for (auto& c : greens[2].candidates) c.p = {5, 5};
    const CoursePlan plan = planned(greens, 3);
    REQUIRE(plan.without.size() == 3);
    CHECK(plan.without[0] == "on 3 of 3 days there is no hole, as it has no fair place");
    CHECK(plan.without[1] == "on 2 of 3 days every fair place lies in a zone that is closed");
    CHECK(plan.without[2].find("on 2 of 3 days no fair place keeps 3.0 m") == 0);
}
