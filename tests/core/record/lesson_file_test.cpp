#include "core/record/lesson_file.h"

#include "core/base/error.h"
#include "core/record/lesson_tables.h"
#include "tests/support/demo_green.h"
#include "tests/support/process.h"
#include "tests/support/refusal.h"

#include <csignal>
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace brae;
using namespace brae::test;

namespace {

StoredLesson lesson_on(const std::string& player, const std::string& green) {
    StoredLesson l;
    l.player = player;
    l.green_id = green;
    l.green_name = "Practice green, Dunlarrick";
    l.surface_revision = 2;
    l.green_speed_ft = 9.5;
    l.green_speed_sigma_ft = 0.3;
    l.date = "2026-05-02";
    for (const char* label : {"A", "B"}) {
        StoredLessonStation s;
        s.place.label = label;
        s.place.ball = {10.25, 7.125 + (label[0] == 'B')};
        s.place.hole = {12, 9};
        s.place.marker = Vec2{12.2, 8.9};
        s.break_m = 0.21;
        s.aim_offset_m = 0.21;
        s.side = "right-to-left";
        l.stations.push_back(s);
    }
    return l;
}

StoredPutt full_putt() {
    StoredPutt p;
    p.seen.station = 1;
    p.seen.outcome = PuttOutcome::passed_low;
    p.seen.phase = PuttPhase::own_read;
    p.seen.own_read_m = -0.125;
    p.seen.own_read_sigma_m = 0.03;
    p.seen.aim = SeenAim::right;
    p.seen.aim_sigma_deg = 0.7;
    p.seen.gate = GateSide::middle;
    p.seen.strike = StrikePlace::heel;
    p.seen.marker_seen = false;
    p.seen.stop = StopPlace{{12.5, 9.75}, StopSource::paces, 0.4};
    p.at = "2026-05-02T10:15:00";
    p.note = "wind";
    return p;
}

struct Started { LessonFile file; std::string player, lesson; };
Started started(const fs::path& path, const std::string& name = "code 17") {
    LessonFile file = LessonFile::create(path);
    StoredPlayer p;
    p.name = name;
    p.handicap = "10-18";
    p.hand = "left";
    p.usual_speed_ft = 10;
    const std::string player = file.add_player(p), lesson = file.start_lesson(lesson_on(player, demo_green().id));
    return {std::move(file), player, lesson};
}

}  // namespace

TEST_CASE("a wrong putt is put right in one step: the old one stays as undone, and nothing changes where that fails") {
    const Scratch folder;
    LessonFile file = LessonFile::create(folder / "a.brae-lesson");
    StoredPlayer player;
    player.name = "code 1", player.hand = "left";
    player.id = file.add_player(player);
    const std::string lesson = file.start_lesson(lesson_on(player.id, "g")), other = file.start_lesson(lesson_on(player.id, "g"));
    const auto ids = file.add_putts(lesson, {full_putt(), full_putt()});
    StoredPutt right = full_putt();
    right.seen.outcome = PuttOutcome::passed_high;
    const std::string fresh = file.correct_putt(lesson, ids[0], right);
    const auto left = file.putts(lesson), all = file.putts(lesson, true);
    REQUIRE(left.size() == 2);
    CHECK((left[0].id == fresh && left[1].id == ids[1] && left[0].seen.outcome == PuttOutcome::passed_high));
    REQUIRE(all.size() == 3);
    CHECK((all[2].id == ids[0] && all[2].undone));
    CHECK(holds(refusal([&] { file.restore(ids[0]); }), "count twice"));
    // Of another lesson, of none, or with what cannot be.
    CHECK(holds(refusal([&] { file.correct_putt(other, ids[1], right); }), "holds no putt"));
    CHECK(holds(refusal([&] { file.correct_putt(lesson, "none", right); }), "holds no putt"));
    right.seen.own_read_m = 99;
    CHECK(holds(refusal([&] { file.correct_putt(lesson, ids[1], right); }), "-20 to 20"));
    right.seen.own_read_m = 7;
    CHECK(holds(refusal([&] { file.correct_putt(lesson, ids[1], right); }), "of the putt at station"));
    CHECK(file.putts(lesson).size() == 2);
    // A player's facts, checked like new ones.
    player.name = "code 2", player.hand = "right";
    file.change_player(player);
    CHECK(file.player("code 2").hand == "right");
    player.hand = "both";
    CHECK(holds(refusal([&] { file.change_player(player); }), "right or left is wanted"));
}

TEST_CASE("everything that goes into a lesson file comes out of it, and what is unknown stays unknown") {
    const Scratch scratch;
    auto [file, player, lesson] = started(scratch / "a.brae-lesson");
    file.add_putt(lesson, full_putt());
    StoredPutt bare;
    bare.seen.outcome = PuttOutcome::holed;
    file.add_putt(lesson, bare);
    BaselinePutt b;
    b.aim_deg = -0.5;
    b.ball_speed_mps = 2.5;
    file.add_baseline(player, {b, {}}, "baseline.csv", "2026-04-30");
    file.add_putter(player, {"2026-04-30", "before", 3.0, 71.0, 0.86, "line on the top", ""});
    file.add_putter(player, {"2026-04-30", "after", 2.5, std::nullopt, std::nullopt, "", "bent"});

    LessonFile again(scratch / "a.brae-lesson", Database::Access::read);
    const StoredPlayer p = again.player("code 17");
    CHECK((p.id == player && p.handicap == "10-18" && p.hand == "left" && p.usual_speed_ft == 10.0));
    const StoredLesson l = again.lesson(lesson);
    CHECK((l.player == player && l.surface_revision == 2 && l.green_speed_ft == 9.5 && l.green_speed_sigma_ft == 0.3 && l.date == "2026-05-02"));
    REQUIRE(l.stations.size() == 2);
    CHECK((l.stations[1].place.label == "B" && l.stations[1].place.ball == Vec2{10.25, 8.125} && l.stations[1].place.marker == Vec2{12.2, 8.9}));
    CHECK((l.stations[0].break_m == 0.21 && !l.stations[0].launch_mps && l.stations[0].side == "right-to-left"));
    const auto putts = again.putts(lesson);
    REQUIRE(putts.size() == 2);
    const SeenPutt &got = putts[0].seen, want = full_putt().seen;
    CHECK((got.station == 1 && got.outcome == want.outcome && got.phase == want.phase && got.own_read_m == want.own_read_m && got.own_read_sigma_m == 0.03));
    CHECK((got.aim == want.aim && got.aim_sigma_deg == 0.7 && got.gate == want.gate && got.strike == want.strike && got.marker_seen == false));
    REQUIRE(got.stop);
    CHECK((got.stop->p == want.stop->p && got.stop->source == StopSource::paces && got.stop->sigma_m == 0.4));
    CHECK((putts[0].at == "2026-05-02T10:15:00" && putts[0].note == "wind" && putts[0].id.size() == 36));
    const SeenPutt& empty = putts[1].seen;
    CHECK((!empty.phase && !empty.own_read_m && !empty.aim && !empty.gate && !empty.strike && !empty.marker_seen && !empty.stop));
    REQUIRE(again.baseline(player).size() == 2);
    CHECK((again.baseline(player)[0].putt.aim_deg == -0.5 && !again.baseline(player)[0].putt.face_deg && again.baseline(player)[0].source == "baseline.csv"));
    REQUIRE(again.putters(player).size() == 2);
    CHECK((again.putters(player)[1].when == "after" && again.putters(player)[1].loft_deg == 2.5 && !again.putters(player)[1].lie_deg));
}

TEST_CASE("undo marks a putt and never takes it out; restore and a second undo follow the last mark") {
    const Scratch scratch;
    auto [file, player, lesson] = started(scratch / "a.brae-lesson");
    std::vector<std::string> ids;
    for (int k = 0; k < 3; ++k) ids.push_back(file.add_putt(lesson, full_putt()));
    CHECK(file.undo_last(lesson) == ids[2]);
    CHECK(file.undo_last(lesson) == ids[1]);
    CHECK(file.putts(lesson).size() == 1);
    REQUIRE(file.putts(lesson, true).size() == 3);
    CHECK(file.putts(lesson, true)[2].undone);
    file.restore(ids[1]);
    CHECK(file.putts(lesson).size() == 2);
    file.undo(ids[0]);
    CHECK(file.putts(lesson).front().id == ids[1]);
    CHECK(lesson_of(file.lesson(lesson), file.putts(lesson, true)).putts.size() == 1);
    file.undo(ids[1]);
    CHECK(file.undo_last(lesson).empty());
    CHECK(holds(refusal([&] { file.undo("nothing"); }), "holds no putt"));
}

TEST_CASE("a program that is killed between and within putts leaves every finished putt and a sound file") {
    const Scratch scratch;
    const fs::path path = scratch / "a.brae-lesson";
    const std::string lesson = started(path).lesson;
    int told = 0;
    for (int round = 0; round < 6; ++round) {
        int ends[2];
        REQUIRE(pipe(ends) == 0);
        const pid_t child = fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            // Says each finished putt, until it is killed.
            try {
                LessonFile file(path);
                for (;;) {
                    file.add_putt(lesson, full_putt());
                    if (write(ends[1], "x", 1) != 1) _exit(1);
                }
            } catch (...) {
            }
            _exit(1);
        }
        close(ends[1]);
        // Killed in the middle of the next one: the place differs from round to round.
        char c;
        int finished = 0;
        for (int k = 0; k < 2 + round && read(ends[0], &c, 1) == 1; ++k) ++finished;
        usleep(static_cast<useconds_t>(300 * round));
        kill(child, SIGKILL);
        int status = 0;
        waitpid(child, &status, 0);
        CHECK(WIFSIGNALED(status));
        while (read(ends[0], &c, 1) == 1) ++finished;
        close(ends[0]);
        told += finished;
        LessonFile file(path, round % 2 ? Database::Access::read : Database::Access::write);
        const int kept = static_cast<int>(file.putts(lesson).size());
        // Said means kept; one more may be finished and not said.
        CHECK(kept >= told);
        CHECK(kept <= told + 1);
        told = kept;
    }
}

TEST_CASE("a full disk refuses the putt with a sentence and keeps those before it") {
    const Scratch scratch;
    const fs::path path = scratch / "a.brae-lesson";
    const std::string lesson = started(path).lesson;
    // A limit on the size of files stands in for a full disk; a child carries it so that nothing else feels it.
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{fs::file_size(path) + 8192, fs::file_size(path) + 8192};
        setrlimit(RLIMIT_FSIZE, &limit);
        LessonFile file(path);
        StoredPutt big = full_putt();
        big.note = std::string(900, 'n');
        int done = 0;
        try {
            for (; done < 200; ++done) file.add_putt(lesson, big);
        } catch (const Error&) {
            _exit(done);
        } catch (...) {
        }
        _exit(255);
    }
    int status = 0;
    waitpid(child, &status, 0);
    REQUIRE(WIFEXITED(status));
    const int done = WEXITSTATUS(status);
    CHECK(done > 0);
    REQUIRE(done < 200);
    LessonFile file(path);
    CHECK(static_cast<int>(file.putts(lesson).size()) == done);
    file.add_putt(lesson, full_putt());
}

TEST_CASE("two programs on one file both keep all of their putts") {
    const Scratch scratch;
    const fs::path path = scratch / "a.brae-lesson";
    const std::string lesson = started(path).lesson;
    std::vector<pid_t> children;
    for (int k = 0; k < 2; ++k) {
        const pid_t child = fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            int code = 1;
            try {
                LessonFile file(path);
                for (int n = 0; n < 15; ++n) file.add_putt(lesson, full_putt());
                code = 0;
            } catch (...) {
            }
            _exit(code);
        }
        children.push_back(child);
    }
    for (pid_t child : children) {
        int status = 0;
        waitpid(child, &status, 0);
        CHECK((WIFEXITED(status) && WEXITSTATUS(status) == 0));
    }
    CHECK(LessonFile(path).putts(lesson).size() == 30);
}

TEST_CASE("a file that another program holds is said to be in use, and nothing is lost") {
    const Scratch scratch;
    auto [file, player, lesson] = started(scratch / "a.brae-lesson");
    Database other(scratch / "a.brae-lesson", Database::Access::write);
    {
        Transaction held(other);
        CHECK(holds(refusal([&, &f = file, &l = lesson] { f.add_putt(l, full_putt()); }), "in use by another program"));
    }
    file.add_putt(lesson, full_putt());
    CHECK(file.putts(lesson).size() == 1);
}

TEST_CASE("an erased player leaves no byte in the file, and the others keep theirs") {
    const Scratch scratch;
    const fs::path path = scratch / "a.brae-lesson";
    auto [file, player, lesson] = started(path, "Zanthoxylum Quarrelsome");
    StoredPutt p = full_putt();
    p.note = "a note about Zanthoxylum";
    for (int k = 0; k < 40; ++k) file.add_putt(lesson, p);
    file.undo_last(lesson);
    file.add_baseline(player, {{}}, "Zanthoxylum.csv", "");
    file.add_putter(player, {"", "before", 3.0, std::nullopt, std::nullopt, "", "Zanthoxylum's own"});
    StoredPlayer other;
    other.name = "code 18";
    const std::string second = file.add_player(other), kept = file.start_lesson(lesson_on(second, demo_green().id));
    file.add_putt(kept, full_putt());
    REQUIRE(holds(whole_file(path), "Zanthoxylum"));
    file.erase_player(player);
    CHECK_FALSE(holds(whole_file(path), "Zanthoxylum"));
    CHECK_FALSE(holds(whole_file(path), player));
    CHECK_FALSE(holds(whole_file(path), lesson));
    CHECK_FALSE(fs::exists(path.string() + "-journal"));
    CHECK(file.players().size() == 1);
    CHECK(file.putts(kept).size() == 1);
    CHECK(holds(refusal([&, &f = file, &who = player] { f.erase_player(who); }), "holds no player"));
}

TEST_CASE("a lesson of another green is refused, and another surface is said") {
    StoredLesson l = lesson_on("p", demo_green().id);
    Green green = demo_green();
    green.surface_revision = 2;
    CHECK(check_green(l, green).empty());
    green.surface_revision = 3;
    CHECK(holds(check_green(l, green), "surface revision 2 of this green, which is now at 3"));
    l.green_id = "another";
    CHECK(holds(refusal([&] { check_green(l, green); }), "held on another green"));
}

TEST_CASE("what is no lesson file is refused with what it is") {
    const Scratch scratch;
    write_file(scratch / "text.brae-lesson", "station,outcome\nA,holed\n");
    CHECK(holds(refusal([&] { LessonFile f(scratch / "text.brae-lesson"); }), "is not a lesson file"));
    CHECK(holds(refusal([&] { LessonFile f(scratch / "none.brae-lesson"); }), "cannot find the lesson file"));
    const fs::path path = scratch / "a.brae-lesson";
    const std::string lesson = started(path).lesson;
    CHECK(holds(refusal([&] { LessonFile::create(path); }), "is there already"));
    {
        Database db(path, Database::Access::write);
        db.run("UPDATE brae_lesson_meta SET value = '99' WHERE key = 'schema'");
    }
    CHECK(holds(refusal([&] { LessonFile f(path); }), "newer brae (schema 99; this one reads up to 1)"));
    const fs::path damaged = scratch / "b.brae-lesson";
    started(damaged);
    std::string bytes = whole_file(damaged);
    for (std::size_t k = 5000; k < bytes.size(); ++k) bytes[k] = 'x';
    write_file(damaged, bytes);
    CHECK(refusal([&] { LessonFile f(damaged); }).size() > 0);
}

TEST_CASE("numbers and names without meaning are refused, and the file stays as it was") {
    const Scratch scratch;
    const fs::path path = scratch / "a.brae-lesson";
    auto opened = started(path);
    LessonFile& file = opened.file;
    const std::string before = whole_file(path), lesson = opened.lesson;
    StoredPutt p = full_putt();
    p.seen.station = 2;
    CHECK(holds(refusal([&] { file.add_putt(lesson, p); }), "station number 3, and the lesson has 2"));
    p = full_putt();
    p.seen.own_read_m = std::nan("");
    CHECK(holds(refusal([&] { file.add_putt(lesson, p); }), "the player's own read"));
    p = full_putt();
    p.seen.outcome = PuttOutcome::holed;
    CHECK(holds(refusal([&] { file.add_putt(lesson, p); }), "a holed putt"));
    StoredLesson l = lesson_on(opened.player, "g");
    l.green_speed_ft = 40;
    CHECK(holds(refusal([&] { file.start_lesson(l); }), "4 to 16"));
    l = lesson_on(opened.player, "g");
    l.stations[1].place.label = "A";
    CHECK(holds(refusal([&] { file.start_lesson(l); }), "two stations"));
    CHECK(holds(refusal([&] { file.add_player({"", "code 17", "", "", std::nullopt, ""}); }), "is there already"));
    CHECK(holds(refusal([&] { file.add_player({"", " ", "", "", std::nullopt, ""}); }), "no name"));
    CHECK(holds(refusal([&] { file.player("nobody"); }), "it holds code 17"));
    // One bad putt of many takes none in.
    p = full_putt();
    p.seen.station = -1;
    CHECK(refusal([&] { file.add_putts(lesson, {full_putt(), p}); }).size() > 0);
    CHECK(whole_file(path) == before);
}

TEST_CASE("steps of the schema are taken one after the other within one transaction") {
    const Scratch scratch;
    const fs::path path = scratch / "a.brae-lesson";
    started(path);
    Database db(path, Database::Access::write);
    const std::vector<LessonStep> steps{{2, {"ALTER TABLE putts ADD COLUMN weather TEXT"}}, {3, {"ALTER TABLE lessons ADD COLUMN coach TEXT DEFAULT ''"}}};
    {
        Transaction half(db);
        migrate_lesson_file(db, 1, steps);
    }
    CHECK_THROWS_AS(Statement(db, "SELECT weather FROM putts"), Error);
    Transaction whole(db);
    migrate_lesson_file(db, 1, steps);
    whole.commit();
    Statement schema(db, "SELECT value FROM brae_lesson_meta WHERE key = 'schema'");
    REQUIRE(schema.row());
    CHECK(schema.text() == "3");
    CHECK_NOTHROW(Statement(db, "SELECT weather, (SELECT count(coach) FROM lessons) FROM putts"));
}

TEST_CASE("a player can be taken out as JSON and a lesson as CSV, whole and quoted") {
    const Scratch scratch;
    auto [file, player, lesson] = started(scratch / "a.brae-lesson");
    StoredPutt p = full_putt();
    p.note = "said \"again\", twice";
    file.add_putt(lesson, p);
    p.note = "=1+1";
    file.add_putt(lesson, p);
    file.undo_last(lesson);
    const std::string csv = putts_as_csv(file, lesson);
    CHECK(holds(csv, "B,passed-low,own-read,-0.1250,0.0300,right,0.70,middle,heel,no,12.500,9.750,paces,0.400,2026-05-02T10:15:00,\"said \"\"again\"\", twice\",no,"));
    CHECK(holds(csv, "\"'=1+1\",yes,"));
    const auto json = nlohmann::json::parse(player_as_json(file, player));
    CHECK(json["player"]["name"] == "code 17");
    REQUIRE(json["lessons"].size() == 1);
    CHECK(json["lessons"][0]["stations"][0]["marker"][0] == 12.2);
    REQUIRE(json["lessons"][0]["putts"].size() == 2);
    CHECK(json["lessons"][0]["putts"][1]["undone"] == true);
    CHECK(json["lessons"][0]["putts"][0]["stop"]["source"] == "paces");
}

TEST_CASE("a player is one by whatever capitals and spaces the name is told, and only one of that name can be") {
    Scratch scratch;
    LessonFile file = LessonFile::create(scratch / "a.brae-lesson");
    const std::string id = file.add_player({"", " Code 7 ", "", "", {}, ""});
    CHECK(file.player("code 7").id == id);
    CHECK(file.players().front().name == "Code 7");
    for (const char* same : {"Code 7", "code 7", "CODE 7 ", "\tcode 7"}) CHECK(holds(refusal([&] { file.add_player({"", same, "", "", {}, ""}); }), "is there already"));
    const std::string other = file.add_player({"", "code 8", "", "", {}, ""});
    CHECK(holds(refusal([&] { file.change_player({other, "CODE 7", "", "", {}, ""}); }), "is there already"));
    file.change_player({id, "CODE 7", "", "", {}, ""});
    CHECK(file.player("code 7").name == "CODE 7");
    CHECK(holds(refusal([&] { file.add_player({"", "  ", "", "", {}, ""}); }), "has no name"));
}

TEST_CASE("a putt is put right in one step, the old row stays, and what does not count any more cannot be") {
    Scratch scratch;
    LessonFile file = LessonFile::create(scratch / "a.brae-lesson");
    const std::string lesson = file.start_lesson(lesson_on(file.add_player({"", "code 7", "", "", {}, ""}), "green-1"));
    const std::string first = file.add_putt(lesson, full_putt()), second = file.add_putt(lesson, full_putt());
    StoredPutt right = full_putt();
    right.seen.outcome = PuttOutcome::passed_high;
    const std::string third = file.correct_putt(lesson, second, right);
    const auto putts = file.putts(lesson);
    REQUIRE(putts.size() == 2);
    CHECK(putts[0].id == first);
    CHECK(putts[1].id == third);
    CHECK(putts[1].seen.outcome == PuttOutcome::passed_high);
    const auto all = file.putts(lesson, true);
    REQUIRE(all.size() == 3);
    CHECK((all[2].id == second && all[2].undone));
    // One that was put right already would count twice; refused, and then nothing changes.
    CHECK(holds(refusal([&] { file.correct_putt(lesson, second, right); }), "does not count any more"));
    CHECK(holds(refusal([&] { file.correct_putt(lesson, "nonesuch", right); }), "holds no putt"));
    right.seen.own_read_m = 900;
    CHECK(holds(refusal([&] { file.correct_putt(lesson, third, right); }), "own read"));
    CHECK(file.putts(lesson).back().id == third);
    CHECK(file.putts(lesson, true).size() == 3);
}
