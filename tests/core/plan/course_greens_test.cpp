#include "core/plan/course_greens.h"

#include "core/base/units.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

#include <algorithm>

using namespace brae;
using namespace brae::test;

namespace {

GreenJudgement fair_everywhere(const Outline& outline) {
    GreenJudgement out;
    out.spacing_m = 1;
    for (int j = -20; j <= 20; ++j)
        for (int i = -20; i <= 20; ++i) {
            HolePosition h;
            h.p = {double(i), double(j)};
            if (outline.signed_distance(h.p) < 3) continue;
            h.fair = true;
            h.score = 0.5;
            h.putts = 2 + 0.01 * i;
            out.places.push_back(h);
        }
    out.fair = out.places.size();
    return out;
}

}  // namespace

TEST_CASE("turf is worn round a hole and on the way to it, and recovers by half in the time set") {
    const Outline outline = ellipse({0, 0}, 10, 10);
    const std::vector<DatedHole> past{{{4, 0}, -1}};
    const auto wear = [&](Vec2 p, int day = 0, const std::vector<Vec2>& gates = {}) { return wear_at(p, past, gates, outline, day, 14); };
    CHECK(wear({4, 0}) == doctest::Approx(std::pow(0.5, 1.0 / 14)));
    CHECK(wear({4, 0}, 13) == doctest::Approx(0.5));
    CHECK(wear({4, 1.2}) == doctest::Approx(wear({4, 0}) * std::exp(-0.5)).epsilon(1e-6));
    CHECK(wear({8, 0}) > 0.4);                      // the nearest edge is to the east
    CHECK(wear({-4, 0}) < 1e-3);
    CHECK(wear({-4, 0}, 0, {{-10, 0}}) > 0.4);      // unless they walk on from the west
    CHECK(wear({4, 0}, -1) == 0);                   // not before it was cut
}

TEST_CASE("front and back follow the way of play, and the green's long axis where that is not known") {
    const Outline outline = ellipse({0, 0}, 12, 8);
    const GreenThirds played = thirds_of(outline, Vec2{0, -1});
    CHECK(played.name({0, -7}) == "back third, centre");
    CHECK(played.name({10, 0}) == "middle third, left");   // south is ahead, so east is to the left
    CHECK(thirds_of(outline, std::nullopt).name({10, 0}).find("east third") == 0);
}

TEST_CASE("candidates wait for their zone's day, keep out of closed ones, and holes by hand are among them") {
    const TerrainModel green = green_of(tilted(0.01, {0, -1}), ellipse({0, 0}, 10, 10));
    GreenOverDays over;
    over.name = "7";
    over.past = {{{5, 5}, -2}};
    over.by_hand = {{{0.3, 0.2}, 1}};
    over.zones = {{{{-10, -10}, {0, -10}, {0, 0}, {-10, 0}}, 3}, {{{0, -10}, {10, -10}, {10, -1}, {0, -1}}, std::nullopt}};
    const CourseGreen course = course_green(fair_everywhere(green.outline), green, Vec2{0, 1}, over, 14, 40);
    CHECK(course.candidates.size() == 41);
    REQUIRE(course.by_hand.size() == 1);
    CHECK(course.by_hand[0].day == 1);
    CHECK(course.candidates[course.by_hand[0].candidate].p == Vec2{0.3, 0.2});
    CHECK(course.past[0].days_before == 2);
    for (std::size_t k = 0; k < 40; ++k) {
        const CourseCandidate& c = course.candidates[k];
        CHECK_FALSE((c.p.x > 0 && c.p.y < -1));
        if (c.p.x < 0 && c.p.y < 0) CHECK(c.from_day == 3);
        CHECK(c.along == (c.p.y < -10 / 3.0 ? 0 : c.p.y < 10 / 3.0 ? 1 : 2));
    }
    // The plan over them keeps the hand's hole, the zone's day and the distances.
    Progress progress;
    const CoursePlan plan = plan_course({course}, 6, {}, progress);
    CHECK(plan.picks[0][1] == course.by_hand[0].candidate);
    for (int d = 0; d < 3; ++d) {
        const Vec2 p = course.candidates[plan.picks[0][d]].p;
        CHECK_FALSE((p.x < 0 && p.y < 0));
    }
    CHECK(judge_course({course}, plan.picks, {}).broken == 0);
}
