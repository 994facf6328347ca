// A lesson in the window itself, in a virtual screen: keys and clicks as a coach gives them, and what the file holds after.
#include "core/record/green_file.h"
#include "core/record/lesson_file.h"
#include "tests/support/demo_green.h"
#include "tests/support/process.h"

#include <cstdlib>

using namespace brae;
using namespace brae::test;

namespace {

const char* kScreen = "timeout 120 env BRAE_PLUGIN_PATH= xvfb-run -a -s '-screen 0 1440x900x24 -noreset' ";
bool has_xvfb() { return std::system("command -v xvfb-run >/dev/null 2>&1") == 0; }

}  // namespace

TEST_CASE("a lesson is taken down in the window by keys alone once its file is named, and every putt is in the file") {
    if (!has_xvfb()) BRAE_SKIP("there is no xvfb-run here to open a window in");
    const Scratch scratch;
    Progress progress;
    const std::string green = (scratch / "demo.gpkg").string(), lessons = (scratch / "a.brae-lesson").string();
    write_green_file(demo_green(), green, progress);
    REQUIRE(run_brae({"stations", green, "--speed", "10", "--lesson", "ladder", "--store", "--json"}).code == 0);
    {
        LessonFile file = LessonFile::create(lessons);
        StoredPlayer player;
        player.name = "code 7";
        file.add_player(player);
    }
    // Shift+L asks for the file; its path is typed. Shift+L again starts the lesson.
    std::string input = "idle\nwait 3\nkey L shift\nwait 3\nmove 741 270\npress left\nwait 1\nrelease left\nwait 2\nkey A ctrl\nwait 1\ntype " + lessons + "\nwait 2\nkey Enter\nwait 4\nidle\nmove 700 890\n"
                        "key L shift\nwait 3\nidle\n";
    // 40 cm right, aim on, holed. The same read once more, short, and no place. Then one that is taken back.
    input += "key 4\nkey 0\nkey Right\nwait 1\nkey 5\nwait 1\nkey H\nwait 2\n";
    input += "key R\nwait 1\nkey S\nwait 1\nkey Enter\nwait 1\n";
    input += "key R\nwait 1\nkey X\nwait 1\nkey Z ctrl\nwait 2\nidle\n";
    write_file(scratch / "input.txt", input);
    const Outcome run = run_brae({green, "--size", "1440x900", "--screenshot", (scratch / "a.png").string(), "--input", (scratch / "input.txt").string()}, kScreen);
    REQUIRE_MESSAGE(run.code == 0, run.error);

    LessonFile file(lessons, Database::Access::read);
    const auto all = file.lessons();
    REQUIRE(all.size() == 1);
    CHECK(all[0].green_id == demo_green().id);
    const auto putts = file.putts(all[0].id);
    REQUIRE(putts.size() == 2);
    CHECK(putts[0].seen.outcome == PuttOutcome::holed);
    CHECK(putts[0].seen.aim == SeenAim::on);
    CHECK(putts[0].seen.phase == PuttPhase::own_read);
    REQUIRE(putts[0].seen.own_read_m);
    CHECK(*putts[0].seen.own_read_m == doctest::Approx(0.4));
    CHECK(putts[1].seen.outcome == PuttOutcome::short_of);
    CHECK(*putts[1].seen.own_read_m == doctest::Approx(0.4));
    CHECK(file.putts(all[0].id, true).size() == 3);
}
