#include "app/plugin_host/loader.h"
#include "tests/app/bare_imgui.h"

#include <cstdlib>
#include <fstream>

using namespace brae;
using namespace brae::test;

namespace {

fs::path test_plugin(const std::string& name) { return fs::path(BRAE_BINARY_DIR) / "lib" / "test_plugins" / (name + ".so"); }

bool says(const app::LoadedPlugin& p, const std::string& words) {
    INFO(p.refused);
    return !p.entry && p.refused.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("the loader takes a good plugin and refuses every other kind with its reason") {
    const auto good = app::load_plugin(test_plugin("good"));
    REQUIRE(good.entry);
    CHECK(good.refused.empty());
    CHECK(std::string(good.entry->id) == "good");
    CHECK(says(app::load_plugin(test_plugin("wrong_abi")), "plugin interface 4"));
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
