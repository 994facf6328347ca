// What a lesson knows of its player beside its own putts, how fast putts are taken down, and another program on the file.
#include "core/record/worked_lesson.h"
#include "core/roll/green_speed.h"
#include "core/roll/skid.h"
#include "tests/plugins/practice_stations/lesson_desk.h"
#include "tests/support/kept_lessons.h"

#include <algorithm>

using namespace brae;
using namespace brae::test;

TEST_CASE("earlier lessons of the player on this green count as in the report over weeks, each putt once, and those on another green are left out") {
    const Scratch scratch;
    const Green green = lesson_green();
    const fs::path path = scratch / "l.brae-lesson";
    std::string player, first, last;
    {
        LessonFile file = LessonFile::create(path);
        StoredPlayer who;
        who.name = "code 7";
        player = file.add_player(who);
        first = keep_lesson(file, player, "2026-04-04", 24).id;
        keep_lesson(file, player, "2026-04-11", 0);   // nothing was putted in it
        StoredLesson elsewhere = file.lesson(first);
        elsewhere.green_id = "another";
        StoredPutt putt;
        putt.seen.outcome = PuttOutcome::holed;
        file.add_putt(file.start_lesson(elsewhere), putt);
        last = keep_lesson(file, player, "2026-04-18", 12).id;
    }
    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.document.state.green = std::make_shared<Green>(green);
    bench.document.state.hole = Vec2{14, 12};
    bench.document.state.revision = 1;
    panel.coach().show(Part::lesson);
    LessonModel& lesson = panel.coach().lesson;
    lesson.open_file(path);
    lesson.go_on(last);
    for (int k = 0; k < 4; ++k) bench.jobs.run();   // tables, the lessons before, the estimate
    REQUIRE(lesson.up_to_date());
    CHECK(lesson.before().lessons == 1);
    CHECK(lesson.before().putts == 24);
    CHECK(lesson.before().elsewhere == 1);
    const std::string text = bench.frames(panel);
    CHECK(has(text, "Begins with what 24 putts of an earlier lesson on this green told. A lesson on other greens does not count here."));

    // To the last bit what the report makes of the same file, and not what this lesson alone tells.
    LessonFile file(path, Database::Access::read);
    Progress progress;
    const WorkedLesson weeks = work_out_lesson(file, file.lesson(last), green, true, progress), alone = work_out_lesson(file, file.lesson(last), green, false, progress);
    const LessonEstimate& told = lesson.result()->estimate;
    CHECK(told.putts == 12);
    for (std::size_t k = 0; k < kPlayerFigures; ++k) {
        CHECK(told.figure[k].mean == weeks.estimate.figure[k].mean);
        CHECK(told.figure[k].sd == weeks.estimate.figure[k].sd);
    }
    CHECK(told.start_line.sd < alone.estimate.start_line.sd);

    // A putt more starts from the same place: the lessons before are not worked out again.
    lesson.entry().go_to(0, PuttPhase::marker);
    bench.tools.letter('H');
    REQUIRE(bench.jobs.waiting.size() == 1);
    CHECK(bench.jobs.waiting[0].title == "Working out the putts");
    bench.jobs.run();
    CHECK(lesson.result()->estimate.putts == 13);
    // The first lesson has none before it.
    lesson.go_on(first);
    CHECK(lesson.before().lessons == 0);
    CHECK(lesson.before().elsewhere == 0);
}

TEST_CASE("the putter before and after an adjustment is kept, and the panel says what loft and lie do") {
    Desk d;
    d.start();
    d.lesson.leave_lesson();
    REQUIRE(d.bench.click(d.panel, "###putter"));
    d.lesson.putter_form.loft = "steep";
    CHECK_FALSE(d.lesson.add_putter());
    CHECK(has(d.lesson.message(), "loft: found 'steep'"));
    CHECK(d.lesson.putter_form.loft == "steep");
    d.lesson.putter_form = {};
    CHECK_FALSE(d.lesson.add_putter());
    CHECK(has(d.lesson.message(), "nothing of the putter"));
    d.lesson.putter_form.lie = "20";
    CHECK_FALSE(d.lesson.add_putter());
    CHECK(has(d.lesson.message(), "lie"));
    d.lesson.putter_form = {"before", "0", "70", "86.5", "one dot"};
    REQUIRE(d.lesson.add_putter());
    CHECK(d.lesson.putter_form.when == "after");
    d.lesson.putter_form = {"after", "4", "71", "", "a line"};
    REQUIRE(d.lesson.add_putter());
    CHECK(has(d.bench.frames(d.panel), "Working out what loft and lie do"));
    d.bench.jobs.run();
    const PutterEffect* e = d.lesson.putter();
    REQUIRE(e);
    REQUIRE(e->loft_before);
    REQUIRE(e->loft_after);
    // Without loft the ball leaves level and skids for 12 u^2 / (49 mu g): standard mechanics of a sphere that is struck without spin.
    const double launch = std::sqrt(2 * level_deceleration(10) * 3.3), u = ball_speed_for_launch(launch, 10.0);
    CHECK(e->loft_before->launch_angle_deg == doctest::Approx(0));
    CHECK(e->loft_before->skid_length_m == doctest::Approx(12 * u * u / (49 * kSkidFriction * kGravity)).epsilon(0.01));
    // L - atan(2/7 tan L / (1 + e)) with L = 4 degrees and e = 0.8 (derived in docs/physics.md): 3.367 degrees.
    CHECK(e->loft_after->launch_angle_deg == doctest::Approx(3.367).epsilon(0.001));
    CHECK(e->loft_after->jump_height_m > 0.0005);
    CHECK(e->loft_after->skid_length_m > e->loft_before->skid_length_m);
    // atan(tan 4 deg sin 1 deg), by hand: 0.0699 degrees, 3.7 mm at 3 m.
    CHECK(*e->face_turn_deg == doctest::Approx(0.0699).epsilon(0.002));
    CHECK(*e->face_turn_m == doctest::Approx(0.00366).epsilon(0.01));
    const std::string text = d.bench.frames(d.panel);
    for (const char* part : {"86.5", "one dot", "a line", "more upright", "0.07\u00b0 to the heel side", "0.4 cm at the hole"}) CHECK_MESSAGE(has(text, part), text);
    CHECK(d.bench.content.x <= 340);
    LessonFile other(d.file(), Database::Access::read);
    REQUIRE(other.putters(d.lesson.player()->id).size() == 2);
    CHECK(*other.putters(d.lesson.player()->id)[0].length_m == doctest::Approx(0.865));
    // In inches where the window has them.
    d.bench.document.state.units = plugin::Units::feet;
    d.lesson.putter_form.length = "34";
    REQUIRE(d.lesson.add_putter());
    CHECK(*other.putters(d.lesson.player()->id)[2].length_m == doctest::Approx(0.8636));
}

TEST_CASE("while another program holds the file a putt is said to be not saved at once, goes on counting, and is saved with the next one") {
    Desk d;
    d.start();
    d.lesson.entry().go_to(0, PuttPhase::marker);
    d.type("H");
    {
        Database other(d.file(), Database::Access::write);
        other.run("BEGIN IMMEDIATE");
        d.type("H");
        CHECK(d.lesson.unsaved() == 1);
        CHECK(has(d.lesson.message(), "not in the file"));
        CHECK(has(d.bench.frames(d.panel), "1 not saved"));
        CHECK(d.lesson.putts().size() == 2);
        other.run("ROLLBACK");
    }
    d.type("H");
    CHECK(d.lesson.unsaved() == 0);
    CHECK(d.kept().size() == 3);
}

namespace {

// Keystroke-level model (S. K. Card, T. P. Moran, A. Newell, Communications of the ACM 23 (1980) 396-410; from memory): a key 0.2 s for
// an average typist (0.28 s for one who seldom types), a mental act 1.35 s.
constexpr double kKeyS = 0.20, kRareKeyS = 0.28, kMentalS = 1.35;

struct Strokes {
    int keys = 0, acts = 0;
    double seconds(double key) const { return key * keys + kMentalS * acts; }
};

// Sends what stands in the text: ^ v < > are the arrows, \\n is Enter, \\t Tab, | is no key but a mental act.
Strokes send(Desk& d, const std::string& text) {
    Strokes out;
    for (const char c : text) {
        if (c == '|') {
            ++out.acts;
            continue;
        }
        ++out.keys;
        constexpr std::pair<char, ToolKey> kNamed[] = {{'^', ToolKey::up}, {'v', ToolKey::down}, {'<', ToolKey::left}, {'>', ToolKey::right}, {'\n', ToolKey::enter}, {'\t', ToolKey::tab}};
        const auto named = std::find_if(std::begin(kNamed), std::end(kNamed), [&](const auto& k) { return k.first == c; });
        CHECK_MESSAGE((named != std::end(kNamed) ? d.bench.tools.key(named->second) : d.bench.tools.letter(c)), c);
    }
    return out;
}

}  // namespace

TEST_CASE("by the keystroke-level model a putt takes at most 8 seconds of keys, and 30 lines of a paper card less than two minutes") {
    Desk d;
    d.start();
    // Own read, outcome, where it stopped by tape: the read, how it ended and both lengths are thought of in turn.
    const Strokes whole = send(d, "|40>|v|M60^|20<");
    REQUIRE(d.kept().size() == 1);
    CHECK(d.kept()[0].seen.stop);
    CHECK(whole.keys == 11);
    MESSAGE("own read, outcome, place by tape: " << whole.seconds(kKeyS) << " s, by one who seldom types " << whole.seconds(kRareKeyS) << " s");
    CHECK(whole.seconds(kKeyS) <= 8);
    CHECK(d.lesson.entry().step() == EntryStep::read);
    // At the marker with all that can be seen, the three rows taken in at one glance.
    send(d, "L");
    const Strokes seen = send(d, "|258|^|M60^|20<");
    REQUIRE(d.kept().size() == 2);
    CHECK(d.kept()[1].seen.strike == StrikePlace::centre);
    MESSAGE("at the marker with start line, aim and strike: " << seen.seconds(kKeyS) << " s");
    CHECK(seen.seconds(kKeyS) <= 8);
    // Holed on the own read.
    send(d, "LLL");
    const Strokes holed = send(d, "|15<|H");
    REQUIRE(d.kept().size() == 3);
    CHECK(holed.seconds(kKeyS) <= 4);
    // All of it at once is longer, and is said to be.
    const Strokes most = send(d, "|40>|258|v|M60^|20<");
    MESSAGE("all that there is: " << most.seconds(kKeyS) << " s");
    CHECK(most.seconds(kKeyS) < 10);

    // A card: a look at each line, then its keys; six lines a station, one in five holed.
    Strokes card;
    for (int k = 0; k < 30; ++k) {
        const Strokes line = send(d, k % 5 == 4 ? "|12>H" : "|40>vM60^20<");
        card.keys += line.keys, card.acts += line.acts;
        if (k % 6 == 5) card.keys += send(d, "\t").keys;
    }
    CHECK(d.kept().size() == 34);
    MESSAGE("30 lines of a card: " << card.seconds(kKeyS) << " s, by one who seldom types " << card.seconds(kRareKeyS) << " s");
    CHECK(card.seconds(kKeyS) < 120);
}
