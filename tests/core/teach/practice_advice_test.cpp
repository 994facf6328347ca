#include "core/teach/practice_advice.h"

#include "core/base/units.h"
#include "core/plan/practice_stations.h"
#include "tests/support/support.h"

#include <algorithm>

using namespace brae;

namespace {

Told90 told(double mean, double half) { return {mean, half / 1.645, mean - half, mean + half}; }

LessonEstimate nothing(int putts) {
    LessonEstimate e;
    e.putts = e.own_reads = e.own_reads_told = putts;
    e.read_apart = putts > 0;
    e.read_low = e.start_line = told(0, radians(0.6));
    e.figure[kPaceBias] = told(0, 0.04);
    return e;
}

}  // namespace

TEST_CASE("what is practised is what the putts tell, the largest first, each with a ready lesson") {
    LessonEstimate e = nothing(30);
    e.read_low = told(radians(0.9), radians(0.5));       // 0.4 to 1.4 degrees low
    e.start_line = told(radians(-2.0), radians(0.5));    // 1.5 to 2.5 degrees left
    e.figure[kPaceBias] = told(0.05, 0.02);              // 3 to 7 % hard
    const auto advice = practice_advice(e);
    REQUIRE(advice.size() == 3);
    CHECK(advice[0].sentence.find("Start line: 1.5 to 2.5 degrees to the left") == 0);
    CHECK(advice[1].sentence.find("Read: 0.4 to 1.4 degrees too low. Give breaking putts more.") == 0);
    CHECK(advice[2].sentence.find("Pace: 3 to 7 % of launch speed too hard") == 0);
    for (const PracticeAdvice& a : advice) {
        CHECK(a.sure);
        CHECK(std::any_of(lesson_kinds().begin(), lesson_kinds().end(), [&](const LessonKind& k) { return k.name == a.lesson; }));
    }
    // Where the aim was seen, aim and stroke take the start line's place.
    e.aims_seen = 30;
    e.figure[kAimBias] = told(radians(1), radians(0.5));
    e.figure[kStrokeBias] = told(0, radians(0.5));
    bool aim = false;
    for (const PracticeAdvice& a : practice_advice(e)) {
        aim = aim || a.sentence.find("Aim at address: 0.5 to 1.5 degrees to the right") == 0;
        CHECK(a.sentence.find("Start line") != 0);
    }
    CHECK(aim);
}

TEST_CASE("six putts give no verdict, and what does not matter is not practised") {
    LessonEstimate few = nothing(6);
    few.start_line = told(radians(1.5), radians(0.5));
    const auto leaning = practice_advice(few);
    REQUIRE(leaning.size() == 1);
    CHECK_FALSE(leaning[0].sure);
    CHECK(leaning[0].sentence.find("leans to the right of where you mean it, but 6 putts are too few to say") != std::string::npos);
    CHECK(leaning[0].sentence.find("degrees") == std::string::npos);

    LessonEstimate small = nothing(200);
    small.start_line = told(radians(0.2), radians(0.1));
    REQUIRE(practice_advice(small).size() == 1);
    CHECK(practice_advice(small)[0].sentence.find("Nothing stands out") == 0);
    // Nothing at all, or no told read: never empty.
    LessonEstimate none = nothing(0);
    CHECK(practice_advice(none)[0].lesson == "own-read");
}
