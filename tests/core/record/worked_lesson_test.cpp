#include "core/record/worked_lesson.h"

#include "core/solve/putt.h"
#include "tests/support/kept_lessons.h"
#include "tests/support/process.h"

using namespace brae;
using namespace brae::test;

TEST_CASE("a lesson is worked out with the truth of each station beside what the putts tell") {
    const Scratch folder;
    const Green green = lesson_green();
    LessonFile file = LessonFile::create(folder / "a.brae-lesson");
    StoredPlayer player;
    player.name = "code 7";
    const std::string id = file.add_player(player);
    const StoredLesson first = keep_lesson(file, id, "2026-05-02", 12), second = keep_lesson(file, id, "2026-05-16", 18);
    keep_lesson(file, id, "2026-06-01", 0);
    Progress progress;
    const WorkedLesson w = work_out_lesson(file, second, green, true, progress);
    CHECK(w.player.name == "code 7");
    CHECK(w.putts.size() == 18);
    REQUIRE(w.truth.size() == 3);
    // The truth is the solver's own answer, with the error that it states.
    for (std::size_t k = 0; k < 3; ++k) {
        const LessonStation& s = second.stations[k].place;
        PuttOptions options;
        options.error = &green.terrain->error;
        const PuttAnswer answer = solve_putt(*green.terrain->surface, green.terrain->outline, {s.ball, s.hole, second.green_speed_ft, s.past_m}, options);
        REQUIRE_FALSE(answer.solutions.empty());
        CHECK(w.truth[k].offset_m == doctest::Approx(*answer.solutions[0].aim_offset_m).epsilon(1e-6));
        CHECK(w.truth[k].se_m == doctest::Approx(answer.solutions[0].aim_offset_se_m).epsilon(0.03));
        REQUIRE(w.truth[k].path.size() > 3);
        CHECK(distance(w.truth[k].path.front(), s.ball) < 1e-9);
        CHECK(distance(w.truth[k].path.back(), s.hole) < kHoleRadius);
    }
    // Oldest first, this one last; a later lesson is no part of it.
    REQUIRE(w.history.size() == 2);
    CHECK(w.history[0].id == first.id);
    CHECK(w.history[1].id == second.id);
    CHECK((w.history[0].putts == 12 && w.history[1].putts == 18 && w.history[1].holed == 3));
    CHECK(w.history[1].read_low.mean == w.estimate.read_low.mean);
    CHECK(w.history[1].start_spread.low > 0);
    // What went before makes the second surer than it is alone.
    const WorkedLesson alone = work_out_lesson(file, second, green, false, progress);
    REQUIRE(alone.history.size() == 1);
    CHECK(w.history[1].start_line.sd < alone.history[0].start_line.sd);
    CHECK(alone.history[0].expected == doctest::Approx(alone.estimate.station[0].expected + alone.estimate.station[1].expected + alone.estimate.station[2].expected));
    // A lesson without a putt has its stations and the prior.
    const WorkedLesson empty = work_out_lesson(file, file.lessons(id).back(), green, false, progress);
    CHECK((empty.truth.size() == 3 && empty.estimate.putts == 0));
}
