// brae lesson as a coach's script would use it: from a new file to a report and an erased player.
#include "tests/support/plane_green.h"
#include "tests/support/printed.h"

#include <map>

using namespace brae::test;

namespace {

bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// A green with a ladder of stations kept in it, and a lesson begun there.
struct Begun { std::string green, lesson; };
Begun begun(const Scratch& folder) {
    const fs::path green = plane_green(folder, 0.02);
    REQUIRE(run_brae({"stations", green.string(), "--hole", "6,6", "--speed", "10", "--lesson", "both-hands", "--store", "--json"}).code == 0);
    const std::string lesson = (folder / "a.brae-lesson").string();
    REQUIRE(run_brae({"lesson", "new", lesson, "--json"}).code == 0);
    REQUIRE(run_brae({"lesson", "player", lesson, "--player", "code 17", "--hand", "left", "--usual-speed", "10"}).code == 0);
    const Outcome start = run_brae({"lesson", "start", lesson, "--player", "code 17", "--green", green.string(), "--speed", "10", "--date", "2026-05-02", "--json"});
    REQUIRE_MESSAGE(start.code == 0, start.error);
    REQUIRE(start.json()["stations"].get<int>() >= 2);
    return {green.string(), lesson};
}

}  // namespace

TEST_CASE("a lesson goes from a new file over putts and a card to a report, an export and an erased player") {
    const Scratch folder;
    const auto [green, lesson] = begun(folder);

    // One putt a line, taken back, and a card of ten that all start right and come up soft.
    CHECK(run_brae({"lesson", "putt", lesson, "station=A", "outcome=holed", "phase=marker", "--json"}).json()["putts"] == 1);
    CHECK(run_brae({"lesson", "undo", lesson, "--json"}).json()["putts"] == 0);
    std::string card = "station,outcome,phase,own_read_cm,aim,strike,beyond_m,right_m\n";
    for (int k = 0; k < 14; ++k) card += std::string(k % 2 ? "A" : "B") + ",short,marker,,on,centre,-0." + std::to_string(3 + k % 3) + ",0.35\n";
    card += "A,missed,own-read,10,,,0.2,0.3\n";
    write_file(folder / "card.csv", card);
    CHECK(run_brae({"lesson", "card", lesson, "--csv", (folder / "card.csv").string(), "--json"}).json()["putts"] == 15);
    // The same card once more would count every putt twice.
    CHECK(says(run_brae({"lesson", "card", lesson, "--csv", (folder / "card.csv").string()}).error, "kept already"));
    write_file(folder / "base.csv", "aim,start\n0.2,0.5\n-0.1,0.1\n0.3,0.4\n");
    const Outcome base = run_brae({"lesson", "baseline", lesson, "--player", "code 17", "--csv", (folder / "base.csv").string(), "--json"});
    REQUIRE(base.code == 0);
    CHECK(base.json()["stroke"]["mean"] == doctest::Approx(0.2));

    const Outcome told = run_brae({"lesson", "report", lesson, "--green", green, "--json"});
    REQUIRE_MESSAGE(told.code == 0, told.error);
    const auto j = told.json();
    CHECK(j["putts"] == 15);
    CHECK(j["each"].size() == 15);
    CHECK(j["start_line_deg"]["low_90"].get<double>() > 0);
    CHECK(j["pace_pct"]["high_90"].get<double>() < 0);
    CHECK(j["read_apart"] == true);
    CHECK(j["next"].size() >= 4);
    CHECK(j["sentences"].size() >= 4);
    const Outcome words = run_brae({"lesson", "report", lesson, "--green", green});
    CHECK(says(words.out, "pace, by launch speed: soft"));
    CHECK(says(words.out, "next         station"));
    CHECK(run_brae({"lesson", "putter", lesson, "--player", "code 17", "--moment", "after", "--loft", "3", "--json"}).code == 0);
    // One lesson alone is its own history.
    const Outcome past = run_brae({"lesson", "report", lesson, "--green", green, "--history", "--json"});
    REQUIRE(past.code == 0);
    REQUIRE(past.json()["history"].size() == 1);
    CHECK(past.json()["history"][0]["pace_pct"] == j["pace_pct"]);
    // The same record, the same bits.
    CHECK(run_brae({"lesson", "report", lesson, "--green", green, "--json"}).out == told.out);

    CHECK(run_brae({"lesson", "export", lesson, "--out", (folder / "putts.csv").string()}).code == 0);
    CHECK(says(whole_file(folder / "putts.csv"), "A,holed,marker"));
    CHECK(run_brae({"lesson", "export", lesson, "--player", "code 17", "--out", (folder / "all.json").string()}).code == 0);
    CHECK(nlohmann::json::parse(whole_file(folder / "all.json"))["baseline"].size() == 3);

    const Outcome unsure = run_brae({"lesson", "erase", lesson, "--player", "code 17"});
    CHECK(unsure.code == 2);
    CHECK(says(unsure.error, "--sure"));
    CHECK(run_brae({"lesson", "erase", lesson, "--player", "code 17", "--sure"}).code == 0);
    CHECK_FALSE(says(whole_file(lesson), "code 17"));
}

TEST_CASE("what was typed wrong is put right: a putt by its number, a player's facts; what is undone can be restored") {
    const Scratch folder;
    const auto [green, lesson] = begun(folder);
    for (const char* outcome : {"holed", "short", "passed-low"})
        REQUIRE(run_brae({"lesson", "putt", lesson, "station=A", std::string("outcome=") + outcome, "phase=marker"}).code == 0);
    // The second keeps its number; the first then is struck out and comes back.
    const Outcome right = run_brae({"lesson", "correct", lesson, "--putt", "2", "outcome=lo", "beyond_m=0.3", "right_m=0.1", "--json"});
    REQUIRE_MESSAGE(right.code == 0, right.error);
    const auto listed = [&] { return run_brae({"lesson", "list", lesson, "--lesson", run_brae({"lesson", "list", lesson, "--json"}).json()["lessons"][0]["id"].get<std::string>(), "--json"}).json(); };
    auto j = listed();
    REQUIRE(j["putts"].size() == 4);
    CHECK((j["putts"][3]["undone"] == true && j["putts"][3]["number"].is_null() && j["putts"][3]["id"] == right.json()["in_place_of"]));
    CHECK((j["putts"][1]["outcome"] == "passed-low" && j["putts"][1]["number"] == 2));
    const auto struck = run_brae({"lesson", "strike", lesson, "--putt", "1", "--json"});
    REQUIRE(struck.code == 0);
    CHECK(struck.json()["putts"] == 2);
    CHECK(run_brae({"lesson", "restore", lesson, "--putt", struck.json()["struck"].get<std::string>(), "--json"}).json()["putts"] == 3);
    // The player.
    CHECK(run_brae({"lesson", "correct", lesson, "--player", "code 17", "--name", "code 18", "--hand", "right", "--handicap", "10-18"}).code == 0);
    j = listed();
    CHECK((j["players"][0]["name"] == "code 18" && j["players"][0]["hand"] == "right" && j["players"][0]["usual_speed_ft"] == 10));
    CHECK(j["lessons"][0]["player"] == "code 18");
    // Refusals change nothing.
    const std::string before = whole_file(lesson);
    for (const auto& [words, part] : std::vector<std::pair<std::vector<std::string>, std::string>>{
             {{"correct", lesson, "--putt", "9", "outcome=holed"}, "a number from 1 to 3"},
             {{"correct", lesson, "--putt", "1"}, "what is to be corrected is wanted"},
             {{"correct", lesson, "--putt", "1", "outcome=best"}, "found 'best' in outcome"},
             {{"correct", lesson, "--player", "code 18"}, "nothing to correct was found"},
             {{"correct", lesson, "--player", "code 5", "--name", "x"}, "holds no player 'code 5'"},
             {{"strike", lesson}, "--putt"},
             {{"restore", lesson, "--putt", "1"}, "struck out is wanted"}}) {
        std::vector<std::string> all{"lesson"};
        all.insert(all.end(), words.begin(), words.end());
        const Outcome o = run_brae(all);
        CHECK_MESSAGE(o.code == 2, o.error);
        CHECK_MESSAGE(says(o.error, part), o.error);
    }
    CHECK(whole_file(lesson) == before);
}

TEST_CASE("a report goes to paper and to a table, and an export writes over a file only with --force") {
    const Scratch folder;
    const auto [green, lesson] = begun(folder);
    for (int k = 0; k < 8; ++k)
        REQUIRE(run_brae({"lesson", "putt", lesson, k % 2 ? "station=A" : "station=B", "outcome=passed-right", k < 4 ? "phase=own-read" : "phase=marker", "own_read_cm=5", "beyond_m=0.4", "right_m=0.2"}).code == 0);
    const auto file = [&](const char* name) { return (folder / name).string(); };
    Outcome o = run_brae({"lesson", "report", lesson, "--green", green, "--out", file("p.pdf"), "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK((o.json()["pages"] == 1 && o.json()["scale"].get<int>() >= 20 && o.json()["putts"] == 8 && !o.json()["practise"].empty()));
    CHECK(whole_file(file("p.pdf")).starts_with("%PDF"));
    o = run_brae({"lesson", "report", lesson, "--green", green, "--out", file("c.pdf"), "--for", "coach", "--paper", "letter", "--feet"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(says(o.out, "pages"));
    REQUIRE(run_brae({"lesson", "report", lesson, "--green", green, "--out", file("p.csv")}).code == 0);
    REQUIRE(run_brae({"lesson", "report", lesson, "--green", green, "--out", file("c.csv"), "--for", "coach"}).code == 0);
    CHECK(says(whole_file(file("p.csv")), "1,B,own-read,passed-right,0.050,"));
    CHECK(says(whole_file(file("c.csv")), "lesson,date,green_speed_ft,putts"));
    // Over a table or an export only with --force.
    REQUIRE(run_brae({"lesson", "export", lesson, "--out", file("e.csv")}).code == 0);
    write_file(folder / "e.csv", "mine");
    o = run_brae({"lesson", "export", lesson, "--out", file("e.csv")});
    CHECK((o.code == 2 && says(o.error, "is there already") && whole_file(file("e.csv")) == "mine"));
    CHECK(run_brae({"lesson", "report", lesson, "--green", green, "--out", file("e.csv")}).code == 2);
    CHECK(run_brae({"lesson", "export", lesson, "--out", file("e.csv"), "--force"}).code == 0);
    CHECK(says(whole_file(file("e.csv")), "station,outcome"));
    o = run_brae({"lesson", "report", lesson, "--green", green, "--out", file("x.txt")});
    CHECK((o.code == 2 && says(o.error, "ends in .pdf")));
    CHECK(run_brae({"lesson", "report", lesson, "--green", green, "--out", green}).code == 2);

    // What was learned says whose chances the stations have.
    o = run_brae({"stations", green, "--hole", "6,6", "--speed", "10", "--lesson", "both-hands", "--player-file", lesson, "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(says(o.json()["player"].get<std::string>(), "code 17, as learned up to the lesson of 2026-05-02"));
    const double learned = o.json()["stations"][0]["chance"].get<double>();
    o = run_brae({"stations", green, "--hole", "6,6", "--speed", "10", "--lesson", "both-hands", "--start-line-sigma", "0.2", "--pace-sigma", "2", "--read-sigma", "0", "--json"});
    CHECK(o.json()["stations"][0]["chance"].get<double>() > 0.8);
    CHECK(o.json()["stations"][0]["chance"].get<double>() > learned);
    CHECK(says(run_brae({"stations", green, "--hole", "6,6", "--speed", "10", "--player-file", lesson, "--pace-sigma", "2"}).error, "one of the two is wanted"));
    CHECK(says(run_brae({"stations", green, "--hole", "6,6", "--speed", "10", "--pace-sigma", "90"}).error, "--pace-sigma: found 90 %"));
    CHECK(says(run_brae({"stations", green, "--hole", "6,6", "--speed", "10", "--player", "x"}).error, "--player-file"));
}

TEST_CASE("each action of a lesson has options and an example of its own") {
    const Outcome all = run_brae({"lesson", "--help"});
    CHECK(all.code == 0);
    std::map<std::string, std::string> help;
    for (const char* action : {"new", "player", "baseline", "putter", "start", "putt", "card", "undo", "correct", "strike", "restore", "list", "report", "export", "erase"}) {
        const Outcome o = run_brae({"lesson", action, "--help"});
        CHECK_MESSAGE(o.code == 0, o.error);
        CHECK_MESSAGE(says(all.out, action), action);
        CHECK_MESSAGE(says(o.out, std::string("Example: brae lesson ") + action + " "), action);
        help[action] = o.out;
    }
    CHECK((says(help["report"], "--paper") && says(help["report"], "low_90") && !says(help["report"], "--loft") && !says(help["report"], "--putt")));
    CHECK((says(help["putter"], "--loft") && !says(help["putter"], "--paper")));
    CHECK((says(help["putt"], "stop_source") && !says(help["undo"], "stop_source")));
    // An option of another action, an action that is none, and none at all are wrong use.
    for (const auto& words : std::vector<std::vector<std::string>>{{"lesson", "undo", "x.brae-lesson", "--paper", "a4"}, {"lesson", "juggle", "x.brae-lesson"}, {"lesson"}}) {
        const Outcome o = run_brae(words);
        CHECK_MESSAGE(o.code == 2, o.error);
        CHECK_MESSAGE(says(o.error, "brae lesson"), o.error);
    }
}

TEST_CASE("a lesson without a day is of today, places without a source are said, and one putt is one putt") {
    const Scratch folder;
    const auto [green, lesson] = begun(folder);
    Outcome o = run_brae({"lesson", "start", lesson, "--player", "CODE 17 ", "--green", green, "--speed", "10", "--json"});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    // A day of the calendar, whatever the clock says.
    const std::string day = o.json()["date"].get<std::string>();
    CHECK((day.size() == 10 && day[4] == '-' && day[7] == '-' && day > "2020"));
    write_file(folder / "card.csv", "station,outcome,beyond_m,right_m,stop_source\nA,passed-right,0.4,0.2,\n");
    o = run_brae({"lesson", "card", lesson, "--csv", (folder / "card.csv").string()});
    CHECK((says(o.out, "1 putt, kept") && says(o.out, "of 1 place nobody said how it was taken: 5 cm + 2 %")));
    o = run_brae({"lesson", "export", lesson, "--player", "code 17", "--out", (folder / "a.json").string()});
    REQUIRE_MESSAGE(o.code == 0, o.error);
    CHECK(nlohmann::json::parse(whole_file(folder / "a.json"))["lessons"][1]["putts"][0]["stop"]["source"].is_null());
    CHECK(says(run_brae({"lesson", "list", lesson, "--player", "Code 17"}).out, ", 1 putt\n"));
    CHECK(says(run_brae({"lesson", "player", lesson, "--player", " code 17"}).error, "is there already"));
    CHECK(says(run_brae({"lesson", "report", lesson, "--green", green, "--out", (folder / "x.txt").string()}).error, "ends in .pdf (a page) or .csv"));
    // One coordinate of a kept place is put right alone.
    CHECK(run_brae({"lesson", "correct", lesson, "--putt", "1", "beyond_m=0.3"}).code == 0);
    o = run_brae({"lesson", "export", lesson, "--out", (folder / "a.csv").string()});
    REQUIRE(o.code == 0);
    CHECK(run_brae({"lesson", "export", lesson, "--out", (folder / "a.csv").string(), "--force", "--json"}).json()["replaced"] == true);
}

TEST_CASE("the player's usual speed and what could not be had are kept with the stations and printed from the file") {
    const Scratch folder;
    const std::string green = plane_green(folder, 0.02).string();
    const Outcome planned = run_brae({"stations", green, "--hole", "6,6", "--speed", "10", "--lesson", "both-hands", "--usual-speed", "7.5", "--store", "--json"});
    REQUIRE_MESSAGE(planned.code == 0, planned.error);
    const std::string sheet = (folder / "s.pdf").string();
    REQUIRE(run_brae({"sheet", green, "--kind", "stations", "--out", sheet}).code == 0);
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    CHECK(says(words_in(sheet), "7.5 ft: "));
    CHECK(says(words_in(sheet), "usual"));
    // Another usual speed for once; and stations without one have none.
    REQUIRE(run_brae({"sheet", green, "--kind", "stations", "--usual-speed", "8", "--out", sheet}).code == 0);
    CHECK((says(words_in(sheet), "8.0 ft: ") && !says(words_in(sheet), "7.5 ft: ")));
    REQUIRE(run_brae({"stations", green, "--hole", "6,6", "--speed", "10", "--lesson", "both-hands", "--store", "--json"}).code == 0);
    REQUIRE(run_brae({"sheet", green, "--kind", "stations", "--out", sheet}).code == 0);
    CHECK_FALSE(says(words_in(sheet), "usual"));
    // On a plane a ring cannot go on beyond the edge: what is missing stands on the sheet, kept or planned for it.
    const Outcome ring = run_brae({"stations", green, "--hole", "6,1.3", "--speed", "10", "--lesson", "ring", "--store", "--json"});
    REQUIRE_MESSAGE(ring.code == 0, ring.error);
    REQUIRE_FALSE(ring.json()["missing"].get<std::string>().empty());
    REQUIRE(run_brae({"sheet", green, "--kind", "stations", "--out", sheet}).code == 0);
    CHECK(says(words_in(sheet), "Not to be had here: the ring has"));
}

TEST_CASE("a lesson that cannot be meant is refused in one sentence, and nothing is lost") {
    const Scratch folder;
    const auto [green, lesson] = begun(folder);
    const std::string before = whole_file(lesson);
    const auto refused = [&](const std::vector<std::string>& words, int code, const std::string& part) {
        const Outcome o = run_brae(words);
        CHECK_MESSAGE(o.code == code, o.error);
        CHECK_MESSAGE(says(o.error, part), o.error);
    };
    refused({"lesson", "new", lesson}, 1, "is there already");
    refused({"lesson", "putt", lesson, "station=Z", "outcome=holed"}, 2, "found the station 'Z'");
    refused({"lesson", "putt", lesson, "station=A", "outcome=holed", "own_read_cm=left"}, 2, "found 'left' in own_read_cm, a number is wanted");
    refused({"lesson", "putt", lesson, "station=A", "station=B", "outcome=holed"}, 2, "found station twice");
    refused({"lesson", "putt", lesson, "station"}, 2, "NAME=VALUE is wanted");
    refused({"lesson", "report", lesson}, 2, "--green");
    const fs::path other = plane_green(folder, 0.01);
    refused({"lesson", "report", lesson, "--green", other.string()}, 2, "held on another green");
    refused({"lesson", "start", lesson, "--player", "code 17", "--green", other.string(), "--speed", "10"}, 2, "holds no stations");
    refused({"lesson", "player", lesson, "--player", "code 17"}, 2, "is there already");
    refused({"lesson", "export", lesson, "--out", lesson}, 2, "ends in .csv");
    refused({"lesson", "putt", green, "station=A", "outcome=holed"}, 1, "is a green file and not a lesson file");
    refused({"lesson", "putter", lesson, "--player", "code 17"}, 2, "before or after is wanted");
    refused({"lesson", "undo", lesson}, 1, "no putt to take back");
    CHECK(whole_file(lesson) == before);
}

TEST_CASE("with the green at hand a putt whose side does not fit its place is kept and questioned, and so does the report") {
    const Scratch folder;
    const auto [green, lesson] = begun(folder);
    // Rests level with both sides of the hole: on one of them a ball that passed high cannot lie.
    int questioned = 0;
    for (const char* right : {"right_m=0.4", "right_m=-0.4"}) {
        const Outcome put = run_brae({"lesson", "putt", lesson, "station=A", "outcome=passed-high", "phase=marker", "beyond_m=0.3", right, "--green", green, "--json"});
        REQUIRE_MESSAGE(put.code == 0, put.error);
        const auto said = put.json();
        for (const auto& w : said["warnings"]) questioned += says(w.get<std::string>(), "noted as passed high") && says(w.get<std::string>(), "which is it?");
    }
    CHECK(questioned == 1);
    const auto report = run_brae({"lesson", "report", lesson, "--green", green, "--json"}).json();
    CHECK(report["putts"] == 2);
    int told = 0;
    for (const auto& sentence : report["sentences"]) told += says(sentence.get<std::string>(), "which is it?");
    CHECK(told == 1);
    // A correction is held against the place too.
    questioned = 0;
    for (const char* putt : {"1", "2"}) {
        const auto said = run_brae({"lesson", "correct", lesson, "--putt", putt, "outcome=passed-low", "--green", green, "--json"}).json();
        for (const auto& w : said["warnings"]) questioned += says(w.get<std::string>(), "noted as passed low");
    }
    CHECK(questioned == 1);
    CHECK(run_brae({"lesson", "correct", lesson, "--putt", "1", "outcome=passed-high", "--json"}).json()["warnings"].empty());
}
