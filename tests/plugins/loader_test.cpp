#include "app/plugin_host/loader.h"
#include "core/base/error.h"
#include "core/record/green_file.h"
#include "tests/app/bare_imgui.h"

#include <cstdlib>
#include <fstream>
#include <future>
#include <thread>

using namespace brae;
using namespace brae::test;

namespace {

fs::path test_plugin(const std::string& name) { return fs::path(BRAE_BINARY_DIR) / "lib" / "test_plugins" / (name + ".so"); }

bool says(const app::LoadedPlugin& p, const std::string& words) {
    INFO(p.refused);
    return !p.entry && p.refused.find(words) != std::string::npos;
}

// The demo green in a file of its own, with the good plugin, and how often that has written a line.
struct StoredDemo : Bench {
    const Scratch scratch;
    StoredDemo() : Bench(false) {
        Progress progress;
        write_green_file(demo_green(), file(), progress);
        session->open(file());
        settle();
        session->host.load({test_plugin("good")});
        settle();
    }
    fs::path file() const { return scratch / "demo.gpkg"; }
    int count(const std::string& line) const {
        int n = 0;
        for (const auto& l : session->host.log()) n += l == line;
        return n;
    }
};

}  // namespace

TEST_CASE("the loader takes a good plugin and refuses every other kind with its reason") {
    const auto good = app::load_plugin(test_plugin("good"));
    REQUIRE(good.entry);
    CHECK(good.refused.empty());
    CHECK(std::string(good.entry->id) == "good");
    CHECK(says(app::load_plugin(test_plugin("wrong_abi")), "plugin interface 5"));
    CHECK(says(app::load_plugin(test_plugin("wrong_size")), "bytes"));
    CHECK(says(app::load_plugin(test_plugin("wrong_build")), "another compiler"));
    CHECK(says(app::load_plugin(test_plugin("wrong_imgui")), "1.99"));
    CHECK(says(app::load_plugin(test_plugin("wrong_symbol")), BRAE_PLUGIN_SYMBOL));
    CHECK(says(app::load_plugin(test_plugin("not_there")), "cannot be opened"));
    const Scratch scratch;
    std::ofstream(scratch / "text.so") << "not a library";
    CHECK(says(app::load_plugin(scratch / "text.so"), "cannot be opened"));
}

TEST_CASE("a plugin that throws in create or in drawing is switched off with its reason and the program goes on") {
    Bench b;
    b.session->host.load({test_plugin("wrong_create"), test_plugin("wrong_draw"), test_plugin("good")});
    auto& host = b.session->host;
    REQUIRE(host.count() == 3);
    CHECK(!host.item(0).on);
    CHECK(host.item(0).reason.find("no luck in create") != std::string::npos);
    b.bench->bring_to_front(1);
    b.frame();
    CHECK(!host.item(1).on);
    CHECK(host.item(1).reason.find("no luck in drawing") != std::string::npos);
    // Frames go on, ImGui's stacks are whole, and the good one still works.
    b.bench->bring_to_front(2);
    for (int k = 0; k < 3; ++k) CHECK(b.frame() > 500);
    CHECK(host.item(2).on);
    bool drawn = false;
    for (const auto& l : b.bench->scene().labels) drawn = drawn || l.text == "from the test plugin";
    CHECK(drawn);
    // Without a plugin in front the Plugins panel draws, reasons and all.
    b.bench->bring_to_front(std::nullopt);
    CHECK(b.frame() > 500);
}

TEST_CASE("a plugin hears of changes once each, and its shortcut acts") {
    Bench b;
    b.session->host.load({test_plugin("good")});
    b.settle();
    auto count = [&](const std::string& line) {
        int n = 0;
        for (const auto& l : b.session->host.log()) n += l == line;
        return n;
    };
    const std::string moved = "good: event " + std::to_string(static_cast<int>(plugin::Event::ball_moved));
    const int before = count(moved);
    b.session->document.put_ball({12, 9});
    for (int k = 0; k < 3; ++k) b.frame();
    CHECK(count(moved) == before + 1);
    b.key('K');
    CHECK(count("good: pressed") == 1);
}

TEST_CASE("a plugin that hides the read keeps it from the picture and from every plugin, and one that is switched off hides nothing") {
    Bench b;
    b.session->host.load({test_plugin("good")});
    b.settle();
    const auto aim = [&] {
        b.frame();
        for (const auto& l : b.bench->scene().labels)
            if (l.text.starts_with("aim ")) return true;
        return false;
    };
    CHECK(aim());
    b.key('Y');
    CHECK_FALSE(aim());
    CHECK(b.session->read_hidden() == "hidden by the test plugin");
    // The read itself goes on behind it, so that it is there at once.
    CHECK(b.session->reads.answer());
    b.key('Y');
    CHECK(aim());
    b.key('Y');
    CHECK_FALSE(aim());
    b.session->host.switch_off(0, "test");
    CHECK(aim());
}

TEST_CASE("another edge is worked out and kept beside the window, and its plugin is answered once it is there, or once it was stopped") {
    StoredDemo b;
    const auto before = b.session->document.now().green;
    const auto area = [&] { return b.session->document.now().green->terrain->outline.area_m2(); };
    // Its work is started in a frame and does not end in it.
    b.session->host.press('Q', false, false);
    REQUIRE(b.session->host.proposed());
    b.session->confirm_edit(true);
    CHECK(b.session->background.progress("edit"));
    CHECK(b.session->document.now().green == before);
    CHECK(b.count("good: kept") == 0);
    // Another change waits for it, in a sentence.
    plugin::GreenEdit other;
    other.add_speeds = {{9.5, 0.5, "", ""}};
    CHECK_THROWS_WITH_AS(b.session->apply(other), doctest::Contains("once more in a moment"), Error);
    b.settle();
    CHECK(area() == doctest::Approx(120));
    CHECK(b.count("good: kept") == 1);
    CHECK(read_green_file(b.file()).terrain->outline.area_m2() == doctest::Approx(120));

    // Undo brings the old one back in the same way, and redo the new one.
    b.session->undo();
    CHECK(area() == doctest::Approx(120));
    b.session->undo();
    CHECK(b.session->message.find("once more in a moment") != std::string::npos);
    b.settle();
    CHECK(area() == doctest::Approx(before->terrain->outline.area_m2()));
    CHECK(read_green_file(b.file()).revision == b.session->document.now().green->revision);
    b.session->redo();
    b.settle();
    CHECK(area() == doctest::Approx(120));
    b.session->undo();
    b.settle();

    // Stopped: the answer is no, at once, and window and file agree in the end, whichever edge it was.
    b.session->host.press('Q', false, false);
    b.session->confirm_edit(true);
    b.session->cancel_wait();
    CHECK(b.count("good: not kept") == 1);
    b.settle();
    b.settle();
    CHECK(read_green_file(b.file()).revision == b.session->document.now().green->revision);
    CHECK(read_green_file(b.file()).terrain->outline.area_m2() == doctest::Approx(area()));
    CHECK(b.count("good: kept") == 1);
}

TEST_CASE("a small change is in the file within its frame, or goes on beside a window that cannot wait for it") {
    StoredDemo b;
    const auto readings = [&] { return b.session->document.now().green->speeds.size(); };
    const auto in_file = [&] { return read_green_file(b.file()).speeds.size(); };
    const std::size_t before = readings();
    const auto change = [&] {
        b.session->host.press('Z', false, false);
        REQUIRE(b.session->host.proposed());
        b.session->confirm_edit(true);
    };
    change();
    CHECK(readings() == before + 1);
    CHECK(in_file() == before + 1);
    CHECK(b.count("good: kept") == 1);
    b.session->undo();
    CHECK(readings() == before);
    CHECK(in_file() == before);

    // Every thread that writes is kept busy, as by a file that another program holds.
    std::promise<void> over;
    const std::shared_future<void> end = over.get_future().share();
    const auto hold = [&](const std::shared_future<void>& until) {
        for (unsigned k = 0; k < 2 * std::max(2u, std::thread::hardware_concurrency()); ++k)
            b.session->background.start("busy" + std::to_string(k), "", true, [until](Progress&) -> app::Background::TakeIn {
                until.wait();
                return {};
            });
    };
    hold(end);
    b.session->set_wake([] {});   // a window is there
    change();
    CHECK(readings() == before);
    CHECK(b.count("good: kept") == 1);
    CHECK(b.session->background.progress("edit"));
    // What comes meanwhile is refused and not lost silently.
    change();
    CHECK(b.count("good: not kept") == 1);
    CHECK(b.session->message.find("once more in a moment") != std::string::npos);
    over.set_value();
    b.settle();
    CHECK(readings() == before + 1);
    CHECK(in_file() == before + 1);
    CHECK(b.count("good: kept") == 2);

    // So does its undo.
    std::promise<void> again;
    hold(again.get_future().share());
    b.session->undo();
    CHECK(readings() == before + 1);
    // What is moved meanwhile does not take the place of the step that the file takes back.
    b.session->document.put_ball({12, 9});
    again.set_value();
    b.settle();
    CHECK(readings() == before);
    CHECK(in_file() == before);
    // Nor does it where the step is done again.
    std::promise<void> third;
    hold(third.get_future().share());
    b.session->redo();
    b.session->document.put_ball({12, 10});
    third.set_value();
    b.settle();
    CHECK(readings() == before + 1);
    CHECK(in_file() == before + 1);
}

TEST_CASE("the Enter that answers a question is not the tool's as well") {
    Bench b;
    b.session->host.load({test_plugin("good")});
    b.settle();
    b.key('W');
    REQUIRE(b.session->host.has_tool());
    const auto enter = [&] {
        ImGuiIO& io = ImGui::GetIO();
        const int key = ImGui::GetKeyIndex(ImGuiKey_Enter);
        io.KeysDown[key] = true;
        b.frame();
        io.KeysDown[key] = false;
        for (int k = 0; k < 3; ++k) b.frame();
    };
    const auto asked = [&] {
        int n = 0;
        for (const auto& l : b.session->host.log()) n += l == "good: asked";
        return n;
    };
    enter();
    CHECK(asked() == 1);
    REQUIRE(b.session->host.proposed());
    enter();
    CHECK(asked() == 1);
    CHECK_FALSE(b.session->host.proposed());
    CHECK(b.session->document.now().green_speed_ft == 9.5);
    CHECK(b.session->host.has_tool());
}

TEST_CASE("letters go to the tool in hand before the program's own keys, as they are written, and one that is held counts once") {
    Bench b;
    b.session->host.load({test_plugin("good")});
    b.settle();
    b.key('J');
    REQUIRE(b.session->host.has_tool());
    const auto count = [&](const std::string& line) {
        int n = 0;
        for (const auto& l : b.session->host.log()) n += l == line;
        return n;
    };
    // The key that stands where B is writes an n on this keyboard.
    ImGuiIO& io = ImGui::GetIO();
    io.KeysDown[static_cast<int>('B')] = true;
    io.AddInputCharacter('n');
    b.frame();
    CHECK(count("good: letter N") == 1);
    CHECK(b.session->tool == app::Tool::look);   // B would have put the ball
    // Half a second of the same key: the keyboard repeats it.
    for (int k = 0; k < 30; ++k) {
        if (k > 14) io.AddInputCharacter('n');
        b.frame();
    }
    CHECK(count("good: letter N") == 1);
    io.KeysDown[static_cast<int>('B')] = false;
    b.frame();
    io.AddInputCharacter('N');
    b.frame();
    CHECK(count("good: letter N") == 2);
    io.AddInputCharacter('7');
    b.frame();
    CHECK(count("good: letter 7") == 1);
    // What the tool has no use for is the program's.
    io.AddInputCharacter('h');
    b.key('H');
    CHECK(count("good: letter H") == 1);
    CHECK(b.session->tool == app::Tool::put_hole);
    // Nothing while a tool is not in hand.
    b.session->host.end_tool();
    io.AddInputCharacter('9');
    b.frame();
    CHECK(count("good: letter 9") == 0);
}

TEST_CASE("an export that writes nothing leaves the old file as it was and says so") {
    Bench b;
    b.session->host.load({test_plugin("good")});
    b.settle();
    const Scratch scratch;
    std::ofstream(scratch / "note.txt") << "old";
    const auto exports = b.session->host.exports();
    REQUIRE(exports.size() == 1);
    b.session->host.run_export(exports[0].slot, exports[0].index, scratch / "note.txt");
    b.session->background.wait_all();
    CHECK(b.session->message.find("was not written") != std::string::npos);
    std::string text;
    std::ifstream(scratch / "note.txt") >> text;
    CHECK(text == "old");
    CHECK(std::distance(fs::directory_iterator(scratch.path()), {}) == 1);

    // A file of the user's own is never taken for a part, and a link is not written through.
    std::ofstream(scratch / ".note.part.txt") << "mine";
    fs::create_symlink(scratch / "note.txt", scratch / "link.txt");
    b.session->host.run_export(exports[0].slot, exports[0].index, scratch / "note.txt");
    b.session->background.wait_all();
    b.session->host.run_export(exports[0].slot, exports[0].index, scratch / "link.txt");
    b.session->background.wait_all();
    CHECK(b.session->message.find("symbolic link") != std::string::npos);
    std::ifstream(scratch / ".note.part.txt") >> text;
    CHECK(text == "mine");
    CHECK(fs::is_symlink(scratch / "link.txt"));
    CHECK(std::distance(fs::directory_iterator(scratch.path()), {}) == 3);
}

TEST_CASE("two plugins with one id: the first wins and the second says why it is off") {
    Bench b;
    const Scratch scratch;
    fs::copy_file(test_plugin("good"), scratch / "again.so");
    b.session->host.load({test_plugin("good"), scratch / "again.so"});
    CHECK(b.session->host.item(0).on);
    CHECK(!b.session->host.item(1).on);
    CHECK(b.session->host.item(1).reason.find("good") != std::string::npos);
}

TEST_CASE("folders are searched in order, never the working directory or a relative path") {
    const Scratch scratch;
    ::setenv("BRAE_PLUGIN_PATH", ("relative:.:" + scratch.path().string()).c_str(), 1);
    const auto folders = app::plugin_folders();
    ::unsetenv("BRAE_PLUGIN_PATH");
    REQUIRE(folders.size() == 2);
    CHECK(folders[0].filename() == "plugins");
    CHECK(folders[1] == scratch.path());
    for (const auto& f : folders) CHECK(f.is_absolute());
}

TEST_CASE("the program's own plugins load and draw") {
    Bench b;
    b.session->host.load(app::plugin_files({fs::path(BRAE_BINARY_DIR) / "lib" / "brae" / "plugins"}));
    b.settle();
    auto& host = b.session->host;
    CHECK(host.count() >= 1);
    for (std::size_t k = 0; k < host.count(); ++k) {
        b.bench->bring_to_front(k);
        for (int n = 0; n < 3; ++n) b.frame();
        CHECK_MESSAGE(host.item(k).on, host.item(k).id << ": " << host.item(k).reason);
    }
}
