// Points that cleaning took away, put back from the terminal; and verbs before a green that a window holds.
#include "tests/support/process.h"

#include "core/base/random.h"
#include "core/record/edit_lock.h"
#include "core/record/green_file.h"
#include "tests/support/other_process.h"

#include <csignal>
#include <fmt/format.h>
#include <pty.h>

using namespace brae::test;

namespace {

// A plane of 12 m with a thing 0.3 m high at (6, 6).
std::string cloud() {
    std::string text;
    brae::Random random(3);
    for (int k = 0; k < 20000; ++k) {
        const double x = random.uniform(0, 12), y = random.uniform(0, 12);
        text += fmt::format("{:.4f} {:.4f} {:.5f}\n", x, y, 20 - 0.02 * x + 0.002 * random.normal());
    }
    for (int k = 0; k < 120; ++k) text += fmt::format("{:.4f} {:.4f} {:.5f}\n", random.uniform(5.9, 6.1), random.uniform(5.9, 6.1), 20.18);
    return text;
}

struct Lawn {
    Scratch scratch;
    std::string survey = (scratch / "cloud.xyz").string(), green = (scratch / "lawn.gpkg").string();
    nlohmann::json first;
    Lawn() {
        write_file(survey, cloud());
        const Outcome o = run_brae({"survey", survey, "--out", green, "--json"});
        REQUIRE_MESSAGE(o.code == 0, o.error);
        first = o.json();
    }
};

}  // namespace

TEST_CASE("brae survey on a green file puts back by reason and by box, remembers it, and takes it out again") {
    Lawn s;
    const std::size_t above = s.first["removed"]["above_turf"];
    CHECK(above >= 100);
    CHECK(s.first["removed"]["below_turf"].is_number());
    CHECK(s.first["removed"]["outside_edge"] == 0);
    CHECK(s.first["put_back"]["reasons"].empty());

    auto said = run_brae({"survey", s.green, "--put-back", "above-turf,astray", "--json"}).json();
    CHECK(said["renewed"] == true);
    CHECK(said["surface_revision"] == 2);
    CHECK(said["removed"]["above_turf"] == 0);
    CHECK(said["put_back"]["reasons"] == nlohmann::json({"above-turf", "astray"}));
    CHECK(said["points_used"].get<std::size_t>() >= s.first["points_used"].get<std::size_t>() + 100);
    CHECK(said["origin_map"] == s.first["origin_map"]);

    // Remembered when a survey renews the green, and when its own is read again.
    said = run_brae({"survey", s.survey, "--out", s.green, "--json"}).json();
    CHECK(said["removed"]["above_turf"] == 0);
    said = run_brae({"survey", s.green, "--name", "lawn", "--json"}).json();
    CHECK(said["removed"]["above_turf"] == 0);
    CHECK(said["surface_revision"] == 4);
    // Asked for nothing, it is only told.
    said = run_brae({"survey", s.green, "--json"}).json();
    CHECK(said["renewed"] == false);
    CHECK(said["name"] == "lawn");
    CHECK(said["surface_revision"] == 4);

    said = run_brae({"survey", s.green, "--remove-again", "above-turf", "--put-back-box", "5,5,7,7", "--json"}).json();
    CHECK(said["put_back"]["reasons"] == nlohmann::json({"astray"}));
    CHECK(said["put_back"]["boxes_m"].size() == 1);
    CHECK(said["removed"]["above_turf"].get<std::size_t>() < above / 4);
    const Outcome words = run_brae({"survey", s.green, "--remove-again", "astray"});
    CHECK(words.code == 0);
    CHECK(words.out.find("put back    all in 1 box") != std::string::npos);

    said = run_brae({"survey", s.green, "--remove-again", "all", "--json"}).json();
    CHECK(said["removed"] == s.first["removed"]);
    CHECK(said["points_used"] == s.first["points_used"]);
    CHECK(said["slope_median_pct"] == s.first["slope_median_pct"]);
}

TEST_CASE("a thing that is put back takes the verdict away, and gives it back when it is taken out") {
    Lawn s;
    const auto again = [&](const char* option, const char* word) { return run_brae({"survey", s.green, option, word, "--json"}).json(); };
    const std::string verdict = s.first["quality"]["verdict"].get<std::string>();
    CHECK(verdict != "overview only");
    CHECK(s.first["put_back_points"] == 0);
    CHECK(s.first["put_back_scatter_m"].is_null());
    const auto put = again("--put-back", "above-turf");
    CHECK(put["quality"]["verdict"] == "overview only");
    CHECK(put["put_back_points"].get<int>() >= 100);
    CHECK(put["put_back_scatter_m"].get<double>() > 0.02);
    CHECK(put["warnings"].dump().find("probably no turf") != std::string::npos);
    CHECK(again("--remove-again", "all")["quality"]["verdict"] == verdict);
}

TEST_CASE("wrong words, a source that is gone and options that do not belong are refused with one sentence") {
    Lawn s;
    const std::string before = whole_file(s.green);
    const auto refused = [&](const std::vector<std::string>& words, int code, const char* holds) {
        const Outcome o = run_brae(words);
        CHECK(o.code == code);
        CHECK_MESSAGE(o.error.find(holds) != std::string::npos, o.error);
        CHECK((whole_file(s.green) == before));
    };
    refused({"survey", s.green, "--put-back", "above"}, 2, "above-turf, below-turf, astray");
    refused({"survey", s.green, "--put-back", "outside-edge"}, 2, "stays out");
    refused({"survey", s.green, "--put-back-box", "1,2,3"}, 2, "X0,Y0,X1,Y1");
    refused({"survey", s.green, "--put-back-box", "3,2,1,4"}, 2, "X0,Y0,X1,Y1");
    refused({"survey", s.green, "--remove-again", "everything"}, 2, "--remove-again");
    refused({"survey", s.green, "--crs", "EPSG:27700"}, 2, "as it was read before");
    refused({"survey", s.green, "--out", (s.scratch / "other.gpkg").string()}, 2, "--out is left out");
    refused({"survey", s.survey}, 2, "--out is required");
    fs::rename(s.survey, s.scratch / "gone.xyz");
    refused({"survey", s.green, "--put-back", "astray"}, 1, "is not where it was");
    refused({"survey", s.green, "--put-back", "astray"}, 1, "brae survey FILE --out");
    // Named where it is now, it is taken with what was put back.
    CHECK(run_brae({"survey", (s.scratch / "gone.xyz").string(), "--out", s.green, "--put-back", "above-turf", "--json"}).json()["removed"]["above_turf"] == 0);
    CHECK(run_brae({"survey", s.green}).code == 0);
}

TEST_CASE("every verb that writes into a green leaves it alone while a window holds it, and says who does") {
    Lawn s;
    // Marks to lay tapes from.
    {
        brae::Green green = brae::read_green_file(s.green);
        ++green.revision;
        green.marks = {{"S1", "", {1, 1, 0}}, {"S2", "", {10, 1, 0}}};
        brae::update_green_file(green, s.green);
    }
    Other window([&] { if (brae::take_edit_lock(s.green).state != brae::LockState::own) throw 1; });
    const std::string before = whole_file(s.green);
    for (const std::vector<std::string>& words : {std::vector<std::string>{"locate", s.green, "--tape", "S1=6", "--tape", "S2=6", "--side", "left", "--store"},
                                                  std::vector<std::string>{"stations", s.green, "--hole", "6,6", "--speed", "10", "--lesson", "fall-line", "--store"},
                                                  std::vector<std::string>{"speed", s.green, "--ramp", "9", "--back", "9.2", "--store"},
                                                  std::vector<std::string>{"survey", s.survey, "--out", s.green},
                                                  std::vector<std::string>{"survey", s.survey, "--out", s.green, "--replace"},
                                                  std::vector<std::string>{"survey", s.green, "--put-back", "astray"}}) {
        CAPTURE(words[0]);
        const Outcome o = run_brae(words);
        CHECK(o.code == 1);
        CHECK_MESSAGE(o.error.find("open for editing in another window (process " + std::to_string(window.pid())) != std::string::npos, o.error);
        CHECK((whole_file(s.green) == before));
    }
    // What only reads is free.
    CHECK(run_brae({"slope", s.green, "--json"}).code == 0);
    window.kill();
    CHECK(run_brae({"speed", s.green, "--ramp", "9", "--back", "9.2", "--store"}).code == 0);
}

TEST_CASE("on a terminal the import draws its bar, and Ctrl-C at any step of it leaves the old green as it was and no part") {
    Lawn s;
    const std::string before = whole_file(s.green);
    std::string large;
    brae::Random random(5);
    for (int k = 0; k < 400000; ++k) large += fmt::format("{:.3f} {:.3f} {:.4f}\n", random.uniform(0, 12), random.uniform(0, 12), 20 + 0.002 * random.normal());
    write_file(s.scratch / "large.xyz", large);
    const std::string file = (s.scratch / "large.xyz").string(), out = (s.scratch / "copy.gpkg").string();
    // The signal is sent once the bar names the step: no clock decides when.
    for (const char* step : {"reading", "cleaning", "smoothing", "surface"}) {
        CAPTURE(std::string(step));
        fs::copy_file(s.green, out, fs::copy_options::overwrite_existing);
        int terminal = -1;
        const pid_t child = forkpty(&terminal, nullptr, nullptr, nullptr);
        REQUIRE(child >= 0);
        if (child == 0) {
            execl(BRAE_BINARY_DIR "/bin/brae", "brae", "survey", file.c_str(), "--out", out.c_str(), static_cast<char*>(nullptr));
            std::_Exit(99);
        }
        std::string said;
        bool sent = false;
        char block[4096];
        for (ssize_t got = 0; (got = read(terminal, block, sizeof block)) > 0;) {
            said.append(block, static_cast<std::size_t>(got));
            if (sent || said.find(std::string("%  ") + step) == std::string::npos) continue;
            kill(child, SIGINT);
            sent = true;
        }
        int status = 0;
        waitpid(child, &status, 0);
        close(terminal);
        CHECK(sent);
        CHECK(said.find("[") != std::string::npos);
        CHECK(WIFEXITED(status));
        CHECK(WEXITSTATUS(status) == 1);
        CHECK_MESSAGE(said.find("cancelled") != std::string::npos, said);
        CHECK((whole_file(out) == before));
    }
    for (const auto& entry : fs::directory_iterator(s.scratch.path()))
        CHECK(entry.path().filename().string().find(".part") == std::string::npos);
}
