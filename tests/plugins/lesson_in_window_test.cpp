// A lesson in the whole window, with the program's own plugins: what is hidden while the player reads, and that keys alone do.
#include "app/panels/panels.h"
#include "app/plugin_host/loader.h"
#include "core/record/green_queries.h"
#include "core/record/lesson_file.h"
#include "tests/app/bare_imgui.h"

#include <imgui_internal.h>
#include <set>

using namespace brae;
using namespace brae::test;

namespace {

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// A saved green with stations, a lesson file with two players and a lesson of the first, and the window.
struct Room {
    Scratch scratch;
    Bench b{false};
    std::size_t slot = 0;
    std::string lesson;

    explicit Room(int players = 1) {
        Green green = demo_green();
        StationRequest request = station_request(green, {15, 12}, 10, kUsualPastM, "ladder");
        Progress progress;
        for (const PracticeStation& s : plan_stations(*green.terrain, request, progress).stations) green.stations.push_back({s, 1, ""});
        REQUIRE(green.stations.size() >= 4);
        LessonFile file = LessonFile::create(scratch / "l.brae-lesson");
        StoredLesson l;
        for (int k = 0; k < players; ++k) {
            StoredPlayer p;
            p.name = "code " + std::to_string(k + 1);
            const std::string id = file.add_player(p);
            if (k == 0) l.player = id;
        }
        l.green_id = green.id, l.green_name = green.name;
        for (const StoredStation& s : green.stations) {
            StoredLessonStation at;
            at.place = {s.station.label, s.station.ball, s.station.hole, s.station.marker, s.station.past_m};
            at.break_m = s.station.break_m, at.aim_offset_m = s.station.aim_offset_m;
            l.stations.push_back(at);
        }
        lesson = file.start_lesson(l);
        ImGui::GetIO().DisplaySize = {1440, 2400};   // all of a panel without scrolling
        b.session->take(std::move(green), "demo.gpkg", false);
        for (const fs::path& plugin : app::plugin_files({fs::path(BRAE_BINARY_DIR) / "lib" / "brae" / "plugins"}))
            if (has(plugin.filename().string(), "practice_stations")) b.session->host.load({plugin});
        REQUIRE(b.session->host.count() == 1);
        b.settle();
    }
    // Shift+L as often as a lesson in hand wants it, with the file chosen in between.
    void take_up() {
        press('L', true);
        REQUIRE(b.session->file_wish);
        const auto chosen = b.session->file_wish->chosen;
        b.session->file_wish.reset();
        chosen(scratch / "l.brae-lesson");
        b.frame();
        press('L', true);
        b.settle();
    }
    // Down for one frame, then up.
    void press(int key, bool shift = false) {
        ImGuiIO& io = ImGui::GetIO();
        io.KeyShift = shift;
        io.KeysDown[key] = true;
        if (key > ' ' && key <= '~' && !shift) io.AddInputCharacter(static_cast<unsigned>(key >= 'A' && key <= 'Z' ? key - 'A' + 'a' : key));
        b.frame();
        io.KeysDown[key] = false;
        io.KeyShift = false;
        b.frame();
    }
    void press(ImGuiKey_ key, bool shift = false) { press(ImGui::GetKeyIndex(key), shift); }
    void type(const char* letters) {
        for (; *letters; ++letters) press(*letters);
    }
    static constexpr int kF6 = 295;

    template <class F> std::string words(F&& draw) {
        ImGui::NewFrame();
        b.bench->frame(1);
        ImGui::SetNextWindowPos({0, 0});
        ImGui::SetNextWindowSize({340, 2000});
        ImGui::Begin("words", nullptr, ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoFocusOnAppearing | ImGuiWindowFlags_NoInputs);
        ImGui::LogToBuffer();
        draw();
        std::string text;
        for (const char* c = ImGui::GetCurrentContext()->LogBuffer.c_str(); *c; ++c)
            if (*c != '\n' || text.empty() || text.back() != ' ') text += *c == '\n' ? ' ' : *c;
        ImGui::LogFinish();
        ImGui::End();
        ImGui::Render();
        return text;
    }
    std::string putt_panel() { return words([&] { app::draw_putt_panel(*b.session, 1); }); }
    std::string lesson_panel() { return words([&] { b.session->host.draw_panel(slot); }); }
    bool aim_shown() {
        for (const auto& l : b.bench->scene().labels)
            if (l.text.starts_with("aim ")) return true;
        return false;
    }
    std::vector<StoredPutt> putts() {
        LessonFile file(scratch / "l.brae-lesson", Database::Access::read);
        return file.putts(lesson);
    }

    // Every control under the mouse in the right column that is not greyed.
    std::set<ImGuiID> by_mouse() {
        std::set<ImGuiID> out;
        const float x0 = static_cast<float>(b.bench->view().x + b.bench->view().width);
        for (float y = 44; y < 2360; y += 9)
            for (float x = x0 + 22; x < 1430; x += 28) {
                b.mouse(x, y);
                b.frame();
                const ImGuiContext& g = *ImGui::GetCurrentContext();
                // The bar that moves the panel is no control.
                if (g.HoveredId != 0 && !g.HoveredIdDisabled && g.HoveredWindow && g.HoveredId != ImGui::GetWindowScrollbarID(g.HoveredWindow, ImGuiAxis_Y)) out.insert(g.HoveredId);
            }
        b.mouse(-100, -100);
        b.frame();
        return out;
    }
    // Every control that F6 and arrows come to: up to the first row, then row by row, each to both of its ends.
    std::set<ImGuiID> by_keys() {
        std::set<ImGuiID> out;
        const ImGuiContext& g = *ImGui::GetCurrentContext();
        press(kF6);
        b.frame();
        const auto go = [&](ImGuiKey_ key) {
            const ImGuiID before = g.NavId;
            press(key);
            b.frame();
            out.insert(g.NavId);
            return g.NavId != before;
        };
        out.insert(g.NavId);
        for (int k = 0; k < 200 && go(ImGuiKey_UpArrow); ++k) {}
        for (int row = 0; row < 200; ++row) {
            // Left closes what Right has opened where it stands alone.
            bool moved = false;
            for (int k = 0; k < 20 && go(ImGuiKey_RightArrow); ++k) moved = true;
            const float in = g.NavWindow->NavRectRel[0].Min.x;
            if (moved || in > 60)
                for (int k = 0; k < 20 && go(ImGuiKey_LeftArrow); ++k) {}
            if (!go(ImGuiKey_DownArrow)) break;
        }
        out.erase(0);
        return out;
    }
    // By arrows to the control with this label, from the first one on; false where they never come to it.
    bool go_to(const char* label) {
        const ImGuiContext& g = *ImGui::GetCurrentContext();
        b.frame();
        if (!ImGui::GetIO().NavVisible || !g.NavWindow) press(kF6);
        b.frame();
        REQUIRE(g.NavWindow);
        for (int k = 0; k < 60; ++k) press(ImGuiKey_UpArrow);
        for (int row = 0; row < 200; ++row) {
            for (int k = 0; k < 12; ++k) {
                if (g.NavId == g.NavWindow->GetID(label)) return true;
                const ImGuiID before = g.NavId;
                press(ImGuiKey_RightArrow);
                b.frame();
                if (g.NavId == before) break;
            }
            for (int k = 0; k < 12; ++k) press(ImGuiKey_LeftArrow);
            const ImGuiID before = g.NavId;
            press(ImGuiKey_DownArrow);
            b.frame();
            if (g.NavId == before) return false;
        }
        return false;
    }
};

}  // namespace

TEST_CASE("while the player's own read is awaited the window gives away no aim, break or window, and says why; once it is told they are back") {
    Room room;
    Bench& b = room.b;
    CHECK(room.aim_shown());
    CHECK(has(room.putt_panel(), "Ball speed off the face"));
    CHECK(b.session->read_hidden().empty());

    room.take_up();
    REQUIRE(b.session->host.has_tool());
    CHECK(has(b.session->read_hidden(), "own read of putt 1, station A"));
    CHECK_FALSE(room.aim_shown());
    // No path either: what is drawn of the read has many points.
    CHECK(b.bench->scene().ways == 0);
    const std::string panel = room.putt_panel();
    CHECK(has(panel, "The read is hidden until the player's own read"));
    for (const char* gone : {"Aim", "Ball speed", "Holed (", "launched at", "Player holes"}) CHECK_MESSAGE(!has(panel, gone), gone);
    // A map of reads tells it as well.
    b.session->choice.ground = app::GroundColour::break_size;
    b.settle();
    CHECK(b.bench->scene().shade_slope);
    CHECK_FALSE(b.bench->scene().raster);

    // Paused, it stays hidden; the putt is the same.
    room.press(ImGuiKey_Escape);
    CHECK_FALSE(b.session->host.has_tool());
    CHECK_FALSE(room.aim_shown());
    room.press('L', true);
    REQUIRE(b.session->host.has_tool());

    // The read is told: all of it is there.
    room.type("40");
    room.press(ImGuiKey_RightArrow);
    CHECK(b.session->read_hidden().empty());
    CHECK(room.aim_shown());
    CHECK(has(room.putt_panel(), "Ball speed off the face"));
    CHECK_FALSE(b.bench->scene().shade_slope);
    b.session->choice.ground = app::GroundColour::slope;

    // The next putt hides it again; one at the marker does not, but with the marker hidden it does.
    room.type("S");
    CHECK(b.session->read_hidden().empty());
    room.press(ImGuiKey_Enter);
    CHECK(has(b.session->read_hidden(), "putt 2"));
    room.type("L");
    CHECK(b.session->read_hidden().empty());
    room.type("0");
    CHECK(b.session->read_hidden().empty());
    room.type("0");
    CHECK(has(b.session->read_hidden(), "marker hidden"));
    CHECK_FALSE(room.aim_shown());
    room.type("S");
    CHECK(b.session->read_hidden().empty());
    CHECK(room.putts().size() == 2);

    // Another green ends the lesson and shows all.
    Green other = demo_green();
    other.id = "00000000-0000-4000-8000-000000000002";
    room.press(ImGuiKey_Enter);
    room.type("LLL");
    CHECK_FALSE(b.session->read_hidden().empty());
    b.session->take(std::move(other), "other.gpkg", false);
    b.settle();
    CHECK(b.session->read_hidden().empty());
    CHECK(room.aim_shown());
}

TEST_CASE("every control of the running lesson is reached by keys alone, none of those keys takes a putt down, and one-key entry goes on after Escape") {
    Room room;
    room.take_up();
    room.type("40");
    room.press(ImGuiKey_RightArrow);
    // Once to open what opens, then all of it.
    room.by_keys();
    room.press(ImGuiKey_Escape);
    const auto mouse = room.by_mouse(), keys = room.by_keys();
    CHECK(mouse.size() > 35);
    for (const ImGuiID id : mouse) CHECK_MESSAGE(keys.contains(id), "a control that keys do not reach: " << id);
    CHECK(room.putts().empty());
    CHECK(room.b.session->host.has_tool());

    room.press(ImGuiKey_Escape);
    CHECK(room.b.session->host.has_tool());
    room.type("S");
    CHECK(room.putts().size() == 1);

    // A control does by Space what it does by a click; Enter is as good.
    REQUIRE(room.go_to("End lesson"));
    room.press(ImGuiKey_Space);
    CHECK_FALSE(room.b.session->host.has_tool());
    CHECK(has(room.lesson_panel(), "Or go on with one on this green"));

    // The Enter that takes it up again is none of the lesson's: the read of its next putt is still awaited.
    REQUIRE(room.go_to("Start a lesson at 5 stations###start"));
    room.press(ImGuiKey_Enter);
    CHECK(room.b.session->host.has_tool());
    CHECK(has(room.b.session->read_hidden(), "own read of putt 1"));
    CHECK_FALSE(ImGui::GetIO().NavVisible);
}

TEST_CASE("player, lesson and station are chosen by keys alone") {
    Room room(3);
    room.press('L', true);
    REQUIRE(room.b.session->file_wish);
    const auto chosen = room.b.session->file_wish->chosen;
    room.b.session->file_wish.reset();
    chosen(room.scratch / "l.brae-lesson");
    room.b.frame();
    // With several players one is chosen; all of the page is within reach.
    const auto mouse = room.by_mouse(), keys = room.by_keys();
    CHECK(mouse.size() > 10);
    for (const ImGuiID id : mouse) CHECK_MESSAGE(keys.contains(id), "a control that keys do not reach: " << id);
    room.press(ImGuiKey_Escape);
    CHECK_FALSE(has(room.lesson_panel(), "Another player"));

    // The plan's lesson in its list: Space opens it, arrows go through it, Enter takes one.
    REQUIRE(room.go_to("Plan"));
    room.press(ImGuiKey_Enter);
    CHECK(has(room.lesson_panel(), "Plan stations for this hole"));
    const std::string before = room.lesson_panel();
    REQUIRE(room.go_to("##lesson"));
    room.press(ImGuiKey_Space);
    room.b.frame();
    CHECK(ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopup));
    for (int k = 0; k < 2; ++k) {
        room.press(ImGuiKey_DownArrow);
        room.b.frame();
    }
    room.press(ImGuiKey_Enter);
    room.b.frame();
    CHECK_FALSE(ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopup));
    const std::string after = room.lesson_panel();
    CHECK(after.substr(0, 300) != before.substr(0, 300));
    // Escape closes a list and leaves the choice as it was; another one goes back to the view.
    room.press(ImGuiKey_Space);
    room.b.frame();
    CHECK(ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopup));
    room.press(ImGuiKey_Escape);
    room.b.frame();
    CHECK_FALSE(ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopup));
    CHECK(ImGui::GetIO().NavVisible);
    CHECK(room.lesson_panel() == after);
    room.press(ImGuiKey_Escape);
    CHECK_FALSE(ImGui::GetCurrentContext()->NavWindow);
    // Then arrows are the view's.
    const double az = room.b.session->camera.yaw();
    room.press(ImGuiKey_LeftArrow);
    CHECK(room.b.session->camera.yaw() != az);
}
