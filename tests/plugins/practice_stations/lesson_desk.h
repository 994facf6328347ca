// What a test of the lesson begins with: a saved green with stations, a lesson file with a player, a lesson in hand.
#pragma once

#include "plugins/practice_stations/stations_plugin.h"

#include "tests/support/panel_bench.h"
#include "tests/support/support.h"

#include <csignal>
#include <sys/resource.h>

namespace brae::test {

using namespace brae::practice_stations;
using plugin::ToolKey;

inline bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// A saved green with stations, a lesson file with a player, and a lesson in hand.
struct Desk {
    Scratch scratch;
    PanelBench bench;
    StationsPlugin panel{bench.services};
    LessonModel& lesson = panel.coach().lesson;

    Desk() {
        bench.open(gentle_green(), {14, 12}, {17, 12});
        auto green = std::make_shared<Green>(*bench.document.state.green);
        green->revision = green->surface_revision = 3;
        bench.document.state.green = green;
    }
    void plan(const std::string& kind = "ladder") {
        panel.model().choose_lesson(kind);
        panel.model().plan();
        bench.jobs.run();
    }
    fs::path file() const { return scratch / "l.brae-lesson"; }
    void start() {
        plan();
        panel.coach().show(Part::lesson);
        lesson.make_file(file());
        lesson.form.name = "code 7";
        REQUIRE(lesson.add_player());
        lesson.start(panel.model().stations());
        REQUIRE_MESSAGE(lesson.lesson(), lesson.message());
        bench.jobs.run();   // tables
        bench.jobs.run();   // the estimate from the prior
        REQUIRE(lesson.up_to_date());
    }
    void type(const std::string& text) {
        for (char c : text) bench.tools.letter(c);
    }
    std::vector<StoredPutt> kept(bool with_undone = false) {
        LessonFile other(file(), Database::Access::read);
        return other.putts(lesson.lesson()->id, with_undone);
    }
};

// No file of this process may grow beyond so much; as a full disk, without one.
struct FullDisk {
    rlimit before{};
    explicit FullDisk(rlim_t bytes) {
        std::signal(SIGXFSZ, SIG_IGN);
        getrlimit(RLIMIT_FSIZE, &before);
        const rlimit now{bytes, before.rlim_max};
        setrlimit(RLIMIT_FSIZE, &now);
    }
    ~FullDisk() { setrlimit(RLIMIT_FSIZE, &before); }
};

}  // namespace brae::test
