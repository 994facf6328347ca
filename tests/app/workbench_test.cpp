#include "tests/app/bare_imgui.h"

#include "app/scene/draping.h"
#include "app/scene/picking.h"

#include <dlfcn.h>
#include <fstream>

using namespace brae;
using namespace brae::test;

namespace {

// ImGui keeps the mouse on whole pixels; one covers up to 4 cm of the ground in this view.
constexpr double kPixel = 0.05;

}  // namespace

TEST_CASE("ImGui runs from the program's own shared library, in one copy, at the version of the headers") {
    Dl_info info{};
    REQUIRE(dladdr(reinterpret_cast<void*>(&ImGui::NewFrame), &info) != 0);
    CHECK(std::string(info.dli_fname).find("libbrae_imgui") != std::string::npos);
    CHECK(std::string(ImGui::GetVersion()) == IMGUI_VERSION);
}

TEST_CASE("all panels draw three frames without a screen, with a green and without") {
    for (bool with_green : {true, false}) {
        Bench b(with_green);
        for (int k = 0; k < 3; ++k) CHECK(b.frame() > 500);
        CHECK(b.session->has_green() == with_green);
    }
}

TEST_CASE("a green opens with today's hole, a ball near it and a read that is complete after the background work") {
    Bench b;
    b.settle();
    REQUIRE(b.session->document.now().hole);
    CHECK(*b.session->document.now().hole == Vec2{15, 12});
    REQUIRE(b.session->reads.answer());
    REQUIRE(!b.session->reads.answer()->solutions.empty());
    CHECK(b.session->reads.complete());
    CHECK(b.session->reads.answer()->solutions.front().has_window);
    CHECK(b.session->layers() != nullptr);
}

TEST_CASE("dragging the hole moves it under the mouse and the read follows in the same frame") {
    Bench b;
    b.settle();
    const double before = *b.session->reads.answer()->solutions.front().aim_offset_m;
    const auto from = b.at(*b.session->document.now().hole);
    const Vec2 wanted{13.5, 13.2};
    const auto to = b.at(wanted);
    b.mouse(from.x, from.y);
    b.frame();
    b.frame();
    b.button(true);
    b.frame();
    b.mouse(to.x, to.y);
    b.frame();  // the one frame
    const auto& now = b.session->document.now();
    CHECK(distance(*now.hole, wanted) < kPixel);
    REQUIRE(b.session->reads.current());
    const PuttRead& read = b.session->reads.answer()->solutions.front();
    CHECK(std::abs(*read.aim_offset_m - before) > 1e-4);
    CHECK(distance(read.path.stop(), *now.hole) < 1e-3);
    // The scene of that frame holds the new path.
    bool drawn = false;
    for (const auto& line : b.bench->scene().lines)
        if (!line.points.empty() && distance({line.points.back().x, line.points.back().y}, *now.hole) < 2e-3 && line.points.size() > 10) drawn = true;
    CHECK(drawn);
    b.button(false);
    b.frame();
    // One step of undo for the whole drag.
    b.key('Z', true);
    CHECK(*b.session->document.now().hole == Vec2{15, 12});
    CHECK(!b.session->document.can_undo());
    b.key('Y', true);
    CHECK(distance(*b.session->document.now().hole, wanted) < kPixel);
}

TEST_CASE("where a read takes longer than a frame can bear it is worked out beside the window, and tried there again now and then") {
    // A clock on which every solve takes 30 ms, then one on which it takes 1.
    double now = 0, step = 30;
    Bench b;
    b.settle();
    b.session->reads.set_clock([&] { return now += step; });
    auto moved = [&, k = 0]() mutable {
        b.session->document.put_ball({12 + 0.01 * ++k, 9});
        b.session->refresh();
        return b.session->reads.current();
    };
    // The first is found to be slow; from then on they are asked for and come later.
    CHECK(moved());
    CHECK_FALSE(moved());
    b.settle();
    CHECK(b.session->reads.current());
    CHECK(b.session->reads.complete());
    step = 1;
    int here = 0;
    for (int k = 0; k < 40; ++k) here += moved();
    CHECK(here >= 10);   // tried after 30, quick, and kept
    CHECK(moved());
    b.settle();
}

TEST_CASE("B and a click put the ball there; a click off the green does nothing and keeps the tool") {
    Bench b;
    b.settle();
    b.key('B');
    CHECK(b.session->tool == app::Tool::put_ball);
    b.mouse(b.bench->view().x + 5, b.bench->view().y + 5);
    b.frame();
    b.frame();
    b.button(true);
    b.frame();
    b.button(false);
    b.frame();
    CHECK(b.session->tool == app::Tool::put_ball);
    const auto to = b.at({10, 9});
    b.mouse(to.x, to.y);
    b.frame();
    b.frame();
    b.button(true);
    b.frame();
    b.button(false);
    b.frame();
    CHECK(distance(*b.session->document.now().ball, {10, 9}) < kPixel);
    CHECK(b.session->tool == app::Tool::look);
}

TEST_CASE("drawing rests once nothing changes") {
    Bench b;
    b.settle();
    int frames = 0;
    while (b.bench->wants_frame() && frames < 20) { b.frame(); ++frames; }
    CHECK(frames < 20);
    CHECK(!b.bench->wants_frame());
}

TEST_CASE("from behind the ball the ground has its true height, and the choice comes back after it") {
    Bench b;
    b.settle();
    b.session->camera.set_exaggeration(8);
    b.key('V');
    CHECK(b.session->camera.kind() == app::ViewKind::behind_ball);
    CHECK(b.session->camera.exaggeration() == 1.0);
    b.key('F');
    CHECK(b.session->camera.exaggeration() == 8.0);
}

TEST_CASE("a new outline of the open green reaches surface, layers and quality, and plugins hear that the green changed") {
    Bench b;
    b.settle();
    const auto surface = b.session->surface();
    const double median = b.session->layers()->slope.median;
    plugin::GreenEdit edit;
    edit.outline = std::vector<Vec2>{{8, 6}, {20, 6}, {20, 16}, {8, 16}};
    b.session->document.apply(edit);
    b.frame();
    CHECK(b.session->surface() != surface);
    CHECK(!b.session->layers());
    b.settle();
    REQUIRE(b.session->layers());
    CHECK(b.session->layers()->slope.median != median);
    REQUIRE(b.session->quality());
    b.key('Z', true);
    b.settle();
    CHECK(b.session->layers()->slope.median == median);
}

TEST_CASE("places beside the green are found under the mouse as shapes are draped there, and none far off") {
    Bench b;
    b.settle();
    b.key('T');
    b.frame();
    for (const Vec2 p : {Vec2{0, 11}, Vec2{15, 23.5}}) {
        const Vec3 place = app::drape(*b.session->document.now().green->terrain, p);
        const auto px = b.session->camera.project(b.session->display_point(place), b.bench->view());
        REQUIRE(px);
        CHECK(!b.session->under(px->x, px->y, b.bench->view()));
        const auto found = b.session->near_under(px->x, px->y, b.bench->view());
        REQUIRE(found);
        CHECK(distance(*found, p) < 0.01);
    }
    const app::PixelRay far{{200, 200, 50}, {0, 0, -1}}, level{{15, 11, 50}, {1, 0, 0}};
    CHECK(!app::pick_beside(*b.session->document.now().green->terrain, 0, 1, far));
    CHECK(!app::pick_beside(*b.session->document.now().green->terrain, 0, 1, level));
}

TEST_CASE("a file that cannot be opened gives one sentence and leaves the open green as it is") {
    Bench b;
    b.settle();
    const Scratch scratch;
    std::ofstream(scratch / "nothing.xyz") << "";
    const auto before = b.session->document.now().green;
    b.session->open(scratch / "nothing.xyz");
    b.settle();
    CHECK(b.session->message.find("nothing.xyz") != std::string::npos);
    CHECK(b.session->message.find('\n') == std::string::npos);
    CHECK(b.session->document.now().green == before);
}

TEST_CASE("a file is opened by keys: the first one is at hand, arrows choose, Enter opens") {
    const Scratch scratch;
    for (const char* name : {"a.csv", "b.csv", "c.csv"}) std::ofstream(scratch / name) << "x,y,z\n";
    fs::create_directory(scratch / "folder");
    Bench b;
    b.settle();
    const auto press = [&](ImGuiKey key) {
        const int at = ImGui::GetKeyIndex(key);
        ImGui::GetIO().KeysDown[at] = true;
        b.frame();
        ImGui::GetIO().KeysDown[at] = false;
        for (int k = 0; k < 2; ++k) b.frame();
    };
    // The folder of the last file that was chosen is where the next one is looked for.
    fs::path chosen;
    const auto ask = [&] {
        b.session->file_wish = app::FileWish{"Open a table", "", "", false, [&](fs::path file) { chosen = file; }, {".csv"}};
        for (int k = 0; k < 3; ++k) b.frame();
    };
    const fs::path before = fs::current_path();
    fs::current_path(scratch.path());
    ask();
    fs::current_path(before);
    press(ImGuiKey_Enter);
    CHECK(chosen.filename() == "a.csv");
    CHECK_FALSE(b.session->file_wish);
    ask();
    press(ImGuiKey_DownArrow);
    press(ImGuiKey_Enter);
    CHECK(chosen.filename() == "b.csv");
    // Escape leaves without one.
    chosen.clear();
    ask();
    press(ImGuiKey_Escape);
    CHECK_FALSE(b.session->file_wish);
    CHECK(chosen.empty());
}
