// The lesson in its panel, from an empty file to an erased player.
#include "core/base/units.h"
#include "core/roll/rolling.h"
#include "core/solve/hole_line.h"
#include "tests/plugins/practice_stations/lesson_desk.h"

#include <fstream>

using namespace brae;
using namespace brae::test;

TEST_CASE("the lesson begins empty: a green, a file, a player, stations are asked for in turn") {
    Scratch scratch;
    PanelBench bench;
    StationsPlugin panel(bench.services);
    panel.coach().show(Part::lesson);
    CHECK(has(bench.frames(panel), "Open a green to hold a lesson"));
    bench.open(gentle_green(), {14, 12}, {17, 12});
    const std::string empty = bench.frames(panel);
    CHECK(has(empty, "lesson file of their own"));
    CHECK(has(empty, "Ask the greenkeeper first"));
    REQUIRE(bench.click(panel, "Make one\u2026"));
    CHECK(bench.files.name == "lessons.brae-lesson");
    bench.files.chosen(scratch / "l.brae-lesson");
    CHECK(has(bench.frames(panel), "First player"));
    // A player without a name, and one with letters for a speed.
    LessonModel& lesson = panel.coach().lesson;
    CHECK_FALSE(lesson.add_player());
    CHECK(has(bench.frames(panel), "a code for minors"));
    lesson.form = {"code 7", "left", "10-18", "quick"};
    CHECK_FALSE(lesson.add_player());
    CHECK(has(lesson.message(), "found 'quick'"));
    CHECK(lesson.form.name == "code 7");
    lesson.form.usual_speed = "8.5";
    CHECK(lesson.add_player());
    // An unsaved survey has no lessons; a green file needs stations.
    CHECK(has(bench.frames(panel), "Save the green as a green file first"));
    auto green = std::make_shared<Green>(*bench.document.state.green);
    green->revision = 1;
    bench.document.state.green = green;
    const std::string text = bench.frames(panel);
    CHECK(has(text, "Plan stations first"));
    CHECK(has(text, "8.5 ft"));
    CHECK(bench.content.x <= 340);
    lesson.start({});
    CHECK_FALSE(lesson.lesson());
    BenchCanvas canvas;
    panel.draw_overlay(canvas);
    CHECK(canvas.bad == 0);
}

TEST_CASE("a putt is in the file as soon as its key is pressed, with all that was told") {
    Desk d;
    d.start();
    CHECK(d.lesson.in_hand());
    d.type("40");
    d.bench.tools.key(ToolKey::right);
    d.type("258");
    const LessonStation& a = d.lesson.lesson()->stations[0].place;
    const HoleLine line(a.ball, a.hole);
    d.bench.tools.click(a.hole - 0.3 * line.along);
    CHECK(d.kept().empty());
    d.type("S");
    const auto putts = d.kept();
    REQUIRE(putts.size() == 1);
    CHECK(putts[0].seen.outcome == PuttOutcome::short_of);
    CHECK(*putts[0].seen.own_read_m == doctest::Approx(0.4));
    CHECK(putts[0].seen.gate == GateSide::middle);
    CHECK(putts[0].seen.aim == SeenAim::on);
    CHECK(putts[0].seen.strike == StrikePlace::centre);
    REQUIRE(putts[0].seen.stop);
    CHECK(distance(putts[0].seen.stop->p, a.hole - 0.3 * line.along) < 1e-6);
    CHECK_FALSE(putts[0].at.empty());

    // A picked mark is recorded with its putts, and with no others.
    CHECK(putts[0].note.empty());
    d.lesson.entry().go_to(0, PuttPhase::mark);
    CHECK(has(d.bench.frames(d.panel), "Mark picked"));
    d.lesson.mark = " old pitch mark ";
    d.type("H");
    CHECK(d.kept()[1].note == "old pitch mark");
    d.bench.tools.key(ToolKey::undo);
    d.lesson.entry().go_to(0, PuttPhase::own_read);

    // A place afterwards puts the saved one right: one row that counts, the old one kept as undone.
    d.bench.tools.key(ToolKey::enter);
    d.type("X");
    CHECK(d.kept().size() == 2);
    d.bench.tools.click(a.hole + 0.5 * line.along);
    REQUIRE(d.kept().size() == 2);
    CHECK(d.kept()[1].seen.stop);
    CHECK(d.kept(true).size() == 4);
}

TEST_CASE("after each putt read, start line, pace, chance, tendency and the next station are told, and a new putt stops the old work") {
    Desk d;
    d.start();
    d.lesson.entry().go_to(0, PuttPhase::own_read);
    const LessonStation& a = d.lesson.lesson()->stations[0].place;
    const HoleLine line(a.ball, a.hole);
    d.type("20");
    d.bench.tools.key(ToolKey::left);
    d.type("5");
    d.bench.tools.click(a.hole + 0.4 * line.along + 0.02 * line.right);
    d.type("X");
    REQUIRE(d.bench.jobs.waiting.size() == 1);
    CHECK_FALSE(d.lesson.up_to_date());
    CHECK(has(d.bench.frames(d.panel), "Working out the putts"));
    // The next putt while that runs: one job, of two putts.
    d.type("20");
    d.bench.tools.key(ToolKey::left);
    d.type("H");
    REQUIRE(d.bench.jobs.waiting.size() == 1);
    d.bench.jobs.run();
    REQUIRE(d.lesson.up_to_date());
    REQUIRE(d.lesson.result()->estimate.putt.size() == 2);
    const PuttErrors& first = d.lesson.result()->estimate.putt[0];
    REQUIRE(first.told);
    CHECK(first.read);
    CHECK(first.aim);
    CHECK(first.stroke);
    CHECK(first.pace);
    const std::string text = d.bench.frames(d.panel);
    for (const char* part : {"Putt 2", "Read", "Pace", "Chance to hole it was", "So far", "Next", "Go there", "expected", "too few for a verdict"}) CHECK_MESSAGE(has(text, part), part);
    CHECK_FALSE(has(text, "nan"));
    CHECK(d.bench.content.x <= 340);
    // No verdict from two putts.
    CHECK_FALSE(has(text, "(90 %, 2 putts)"));
    BenchCanvas canvas;
    d.panel.draw_overlay(canvas);
    CHECK(canvas.bad == 0);
    CHECK(canvas.markers >= 6);
    CHECK(std::any_of(canvas.labels.begin(), canvas.labels.end(), [](const std::string& l) { return has(l, "own read, 20 cm left") || has(l, "true line"); }) == (d.lesson.entry().step() != EntryStep::read));
    // N goes to the suggested station.
    d.type("N");
    const NextPutt& next = d.lesson.result()->next.front();
    CHECK(d.lesson.entry().station() == next.station);
    CHECK(d.lesson.entry().own_line() == next.own_read);
}

TEST_CASE("a mis-strike is not counted as pace and a putt without a told read keeps read and start line together") {
    Desk d;
    d.start();
    const LessonStation& a = d.lesson.lesson()->stations[0].place;
    const HoleLine line(a.ball, a.hole);
    d.bench.tools.key(ToolKey::enter);
    d.type("7");
    d.bench.tools.click(a.hole - 0.8 * line.along);
    d.type("S");
    d.bench.jobs.run();
    REQUIRE(d.lesson.result()->estimate.putt.size() == 1);
    CHECK_FALSE(d.lesson.result()->estimate.putt[0].pace_counted);
    const std::string text = d.bench.frames(d.panel);
    CHECK(has(text, "not counted: mis-strike"));
    CHECK(has(text, "Start against the true aim"));
    CHECK(has(text, "cannot be told apart"));
}

TEST_CASE("an arrow that is held down ends one putt and not the next ones") {
    Desk d;
    d.start();
    d.lesson.entry().go_to(0, PuttPhase::marker);
    ImGuiIO& io = ImGui::GetIO();
    io.KeyMap[ImGuiKey_UpArrow] = 400;
    d.bench.tools.click(d.lesson.lesson()->stations[0].place.hole + Vec2{0.3, 0.1});
    io.KeysDown[400] = true;
    d.bench.frame(d.panel);
    d.bench.tools.key(ToolKey::up);
    CHECK(d.lesson.putts().size() == 1);
    if (d.lesson.entry().step() == EntryStep::doubt) d.bench.tools.key(ToolKey::enter);
    // The host sends it again while it is held.
    for (int k = 0; k < 3; ++k) {
        d.bench.frame(d.panel);
        d.bench.tools.key(ToolKey::up);
    }
    CHECK(d.lesson.putts().size() == 1);
    io.KeysDown[400] = false;
    d.bench.frame(d.panel);
    io.KeysDown[400] = true;
    d.bench.frame(d.panel);
    d.bench.tools.key(ToolKey::up);
    CHECK(d.lesson.putts().size() == 2);
    io.KeysDown[400] = false;
}

TEST_CASE("undo takes the last putt back, again and again, and redo brings it; the file keeps every row") {
    Desk d;
    d.start();
    d.lesson.entry().go_to(0, PuttPhase::marker);
    d.type("HHH");
    CHECK(d.kept().size() == 3);
    d.bench.tools.key(ToolKey::undo);
    d.bench.tools.key(ToolKey::undo);
    CHECK(d.kept().size() == 1);
    CHECK(d.kept(true).size() == 3);
    d.bench.tools.key(ToolKey::redo);
    CHECK(d.kept().size() == 2);
    // A new putt ends the redo.
    d.type("H");
    d.bench.tools.key(ToolKey::redo);
    CHECK(has(d.lesson.message(), "no putt to bring back"));
    CHECK(d.kept().size() == 3);
    for (int k = 0; k < 4; ++k) d.bench.tools.key(ToolKey::undo);
    CHECK(has(d.lesson.message(), "no putt to take back"));
    CHECK(d.kept().empty());
    d.bench.jobs.run();
    CHECK(d.lesson.result()->estimate.putts == 0);
}

TEST_CASE("a full disk in mid-lesson is said at once, the putts go on, and all of them get into the file once there is room") {
    Desk d;
    d.start();
    d.lesson.entry().go_to(0, PuttPhase::marker);
    d.type("H");
    REQUIRE(d.kept().size() == 1);
    {
        const FullDisk full(512);
        d.type("SX");
        d.bench.tools.key(ToolKey::enter);
        CHECK(d.lesson.unsaved() == 1);
        d.type("H");
        CHECK(d.lesson.unsaved() == 2);
        CHECK(has(d.lesson.message(), "not in the file"));
        CHECK(d.lesson.putts().size() == 3);
        const std::string text = d.bench.frames(d.panel);
        CHECK(has(text, "2 not saved"));
        CHECK(has(text, "Save again"));
        d.lesson.save_again();
        CHECK(d.lesson.unsaved() == 2);
    }
    CHECK(d.kept().size() == 1);
    // They count in the meantime.
    d.bench.jobs.run();
    CHECK(d.lesson.result()->estimate.putts == 3);
    d.type("H");
    CHECK(d.lesson.unsaved() == 0);
    const auto putts = d.kept();
    REQUIRE(putts.size() == 4);
    CHECK(putts[1].seen.outcome == PuttOutcome::missed);   // the short one was put right before it was saved
    CHECK(has(d.bench.frames(d.panel), "all saved"));
}

TEST_CASE("a lost disk leaves the lesson in the window, and it goes on in another file") {
    Desk d;
    d.start();
    d.lesson.entry().go_to(0, PuttPhase::marker);
    d.type("H");
    fs::rename(d.file(), d.scratch / "away");
    fs::create_directory(d.file());   // nothing can be written there now
    d.type("H");
    // What is open may still take it; what it does not take is held.
    CHECK(d.lesson.putts().size() == 2);
    fs::remove(d.file());
    fs::rename(d.scratch / "away", d.file());
    d.lesson.save_elsewhere(d.scratch / "l.brae-lesson");
    CHECK(has(d.lesson.message(), "is there already"));
    d.lesson.save_elsewhere(d.scratch / "new.brae-lesson");
    CHECK(d.lesson.file_name() == "new.brae-lesson");
    CHECK(d.lesson.unsaved() == 0);
    LessonFile other(d.scratch / "new.brae-lesson", Database::Access::read);
    CHECK(other.putts(d.lesson.lesson()->id).size() == 2);
}

TEST_CASE("the lid closes: another window opens the file and goes on where the lesson was") {
    Desk d;
    d.start();
    d.lesson.entry().go_to(1, PuttPhase::marker);
    d.type("HHS");
    const std::string id = d.lesson.lesson()->id;

    PanelBench bench;
    StationsPlugin panel(bench.services);
    bench.document.state = d.bench.document.state;
    panel.coach().show(Part::lesson);
    LessonModel& again = panel.coach().lesson;
    again.open_file(d.file());
    REQUIRE(again.player());
    REQUIRE(again.lessons().size() == 1);
    CHECK(has(bench.frames(panel), "Or go on with one on this green"));
    again.go_on(id);
    CHECK(again.putts().size() == 3);
    CHECK(again.entry().station() == 1);
    // Two programs on one file: what the other adds comes along with the next putt.
    again.entry().go_to(0, PuttPhase::marker);
    bench.tools.letter('H');
    CHECK(again.putts().size() == 4);
    d.bench.tools.key(ToolKey::enter);
    d.type("H");
    CHECK(d.lesson.putts().size() == 5);
}

TEST_CASE("a side that does not fit the place is questioned once the putt is saved, and one key answers") {
    Desk d;
    d.plan("both-hands");
    d.start();
    // A station with some break, and a ball that is rolled well to the low side.
    int k = 0;
    for (int i = 0; i < static_cast<int>(d.lesson.lesson()->stations.size()); ++i)
        if (d.lesson.lesson()->stations[static_cast<std::size_t>(i)].break_m > d.lesson.lesson()->stations[static_cast<std::size_t>(k)].break_m) k = i;
    const StationResponse* at = d.lesson.tables()->of(k);
    REQUIRE(at);
    const double low = at->high_is_right() ? -0.12 : 0.12;
    const ResponseAt rest = at->at(low, 0.1);
    REQUIRE(rest.stop.x > 0);
    const Vec2 stop = at->station().hole + rest.stop.x * at->line().along + rest.stop.y * at->line().right;
    d.lesson.entry().go_to(k, PuttPhase::marker);
    d.bench.tools.click(stop);
    d.bench.tools.key(ToolKey::up);
    REQUIRE(d.kept().size() == 1);   // saved all the same
    CHECK(d.lesson.entry().step() == EntryStep::doubt);
    CHECK(has(d.bench.frames(d.panel), "which is it?"));
    d.type("H");
    CHECK(d.kept().size() == 1);
    d.type("1");
    REQUIRE(d.kept().size() == 1);
    CHECK(d.kept()[0].seen.outcome == PuttOutcome::passed_low);
    CHECK(d.lesson.entry().step() == EntryStep::putt);
    CHECK(d.lesson.doubt().empty());
}

TEST_CASE("a lesson file from another green, one that is none, and one that is there already are said, and nothing is lost") {
    Desk d;
    d.start();
    d.type("Q");
    std::ofstream(d.scratch / "text.brae-lesson") << "not a lesson";
    d.lesson.open_file(d.scratch / "text.brae-lesson");
    CHECK(has(d.lesson.message(), "is not a lesson file"));
    CHECK(d.lesson.lesson());   // the one in hand stays
    d.lesson.open_file(d.scratch / "missing.brae-lesson");
    CHECK(has(d.lesson.message(), "cannot find"));
    d.lesson.make_file(d.file());
    CHECK(has(d.lesson.message(), "there already"));
    const std::string id = d.lesson.lesson()->id;
    // Another green: the lesson is left, its player stays, and it cannot be gone on with here.
    auto other = std::make_shared<Green>(*d.bench.document.state.green);
    other->id = "another";
    d.bench.document.state.green = other;
    d.panel.on_event(plugin::Event::green_opened);
    CHECK_FALSE(d.lesson.lesson());
    CHECK(d.lesson.player());
    CHECK(d.lesson.lessons().empty());
    d.lesson.go_on(id);
    CHECK(has(d.lesson.message(), "another green"));
    CHECK_FALSE(d.lesson.lesson());
}

TEST_CASE("a baseline by hand and from a table moves the chances, and letters in it are refused") {
    Desk d;
    d.start();
    REQUIRE(d.lesson.result()->chance[0]);
    const double before = d.lesson.result()->chance[0]->marker;
    CHECK_FALSE(d.lesson.spread());
    d.lesson.baseline_form.aim = "wide";
    CHECK_FALSE(d.lesson.add_baseline());
    CHECK(has(d.lesson.message(), "face at address: found 'wide'"));
    CHECK(d.lesson.baseline_form.aim == "wide");
    d.lesson.baseline_form = {};
    CHECK_FALSE(d.lesson.add_baseline());
    for (int k = 0; k < 6; ++k) {
        d.lesson.baseline_form.aim = "0.1";
        d.lesson.baseline_form.start = k % 2 ? "0.2" : "+0.1";
        REQUIRE(d.lesson.add_baseline());
    }
    CHECK(d.lesson.baseline().size() == 6);
    std::ofstream(d.scratch / "b.csv") << "aim,start\n0.1,0.2\n0.0,0.1\n";
    d.lesson.read_baseline_file(d.scratch / "b.csv");
    CHECK(d.lesson.baseline().size() == 8);
    d.bench.jobs.run();
    REQUIRE(d.lesson.up_to_date());
    // Measured as steady and unbiased: more likely to hole than one of whom nothing is known.
    CHECK(d.lesson.result()->chance[0]->marker > before);
    REQUIRE(d.lesson.spread());
    CHECK(degrees(d.lesson.spread()->start_line.rad) < 0.9);
    std::ofstream(d.scratch / "bad.csv") << "aim\nx\n";
    d.lesson.read_baseline_file(d.scratch / "bad.csv");
    CHECK(has(d.lesson.message(), "line 2"));
    CHECK(d.lesson.baseline().size() == 8);
}

TEST_CASE("a player is exported, and erased after a question") {
    Desk d;
    d.start();
    d.lesson.entry().go_to(0, PuttPhase::marker);
    d.type("H");
    Progress progress;
    int ready = 0;
    for (const auto& e : d.bench.exports.all)
        if (has(e.title, "Putts of the lesson") || has(e.title, "All of the player")) {
            REQUIRE(e.ready());
            e.prepare()(d.scratch / ("out." + e.extension), progress);
            CHECK(fs::file_size(d.scratch / ("out." + e.extension)) > 50);
            ++ready;
        }
    CHECK(ready == 2);
    d.lesson.leave_lesson();
    REQUIRE(d.bench.click(d.panel, "Erase\u2026"));
    CHECK(has(d.bench.frames(d.panel), "gone for good"));
    REQUIRE(d.bench.click(d.panel, "Leave it"));
    CHECK(d.lesson.player());
    d.lesson.erase_player();
    CHECK_FALSE(d.lesson.player());
    CHECK(d.lesson.players().empty());
    std::ifstream in(d.file(), std::ios::binary);
    const std::string bytes((std::istreambuf_iterator<char>(in)), {});
    CHECK_FALSE(has(bytes, "code 7"));
}

TEST_CASE("stations that were added join the lesson under a free letter, and a change of the green starts the work again") {
    Desk d;
    d.start();
    const std::size_t before = d.lesson.lesson()->stations.size();
    d.bench.document.state.ball = Vec2{15, 15};
    d.panel.model().clear();
    d.panel.model().add_at_ball();
    d.bench.jobs.run();
    REQUIRE(d.panel.model().stations().size() == 1);
    CHECK(d.panel.model().stations()[0].label == "A");
    CHECK(has(d.bench.frames(d.panel), "Take in 1 new station"));
    d.lesson.take_in(d.panel.model().stations());
    REQUIRE(d.lesson.lesson()->stations.size() == before + 1);
    CHECK(d.lesson.lesson()->stations.back().place.label == std::string(1, static_cast<char>('A' + before)));
    CHECK(d.lesson.missing(d.panel.model().stations()) == 0);
    d.bench.jobs.waiting.clear();   // as the host drops work on an older revision
    d.panel.on_event(plugin::Event::green_changed);
    d.bench.jobs.run();
    d.bench.jobs.run();
    CHECK(d.lesson.up_to_date());
    CHECK(d.lesson.result()->chance.size() == before + 1);
}

TEST_CASE("all buttons of a lesson do what their keys do") {
    Desk d;
    d.start();
    d.lesson.entry().go_to(0, PuttPhase::marker);
    REQUIRE(d.bench.click(d.panel, "H  Holed"));
    CHECK(d.kept().size() == 1);
    REQUIRE(d.bench.click(d.panel, "Undo"));
    CHECK(d.kept().empty());
    REQUIRE(d.bench.click(d.panel, "Retest"));
    CHECK(d.lesson.entry().phase() == PuttPhase::retest);
    REQUIRE(d.bench.click(d.panel, "Pause"));
    CHECK_FALSE(d.lesson.in_hand());
    CHECK(has(d.bench.frames(d.panel), "Paused"));
    for (const plugin::Shortcut& s : d.panel.shortcuts())
        if (s.key == 'L' && s.shift) s.act();
    CHECK(d.lesson.in_hand());
    // Escape: the host puts the tool down.
    CHECK_FALSE(d.bench.tools.key(ToolKey::escape));
    d.bench.tools.put_down();
    CHECK_FALSE(d.lesson.in_hand());
    REQUIRE(d.bench.click(d.panel, "End lesson"));
    CHECK_FALSE(d.lesson.lesson());
}

TEST_CASE("the window's putt is that of the station, and both reports go to paper from the lesson") {
    Desk d;
    d.start();
    const auto& stations = d.lesson.lesson()->stations;
    const auto shown = [&](std::size_t k) {
        const plugin::Snapshot& now = d.bench.document.state;
        return now.ball == stations[k].place.ball && now.hole == stations[k].place.hole && now.past_m == stations[k].place.past_m;
    };
    CHECK(shown(0));
    d.bench.tools.key(ToolKey::tab);
    CHECK(shown(1));
    const auto page = [&](const std::string& title) -> const plugin::Export& {
        for (const auto& e : d.bench.exports.all)
            if (e.title == title) return e;
        FAIL("there is no export " << title);
        throw 0;
    };
    const plugin::Export &player = page("Player's page (PDF)"), &coach = page("Coach's report (PDF)");
    CHECK_FALSE(player.ready());
    for (int k = 0; k < 3; ++k) {
        d.type("20");
        d.bench.tools.key(ToolKey::left);
        d.type("H");
    }
    REQUIRE(player.ready());
    Progress progress;
    for (const plugin::Export* e : {&player, &coach}) {
        const fs::path file = d.scratch / e->file_name;
        e->prepare()(file, progress);
        std::ifstream in(file, std::ios::binary);
        std::string head(5, ' ');
        in.read(head.data(), 5);
        CHECK(head == "%PDF-");
    }
    d.bench.content = {};
    CHECK(d.bench.click(d.panel, "Coach's report\u2026"));
    CHECK(d.bench.exports.asked == std::vector<std::string>{"Coach's report (PDF)"});
}
