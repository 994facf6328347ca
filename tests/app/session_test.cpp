// Opening, the edit lock, following another's changes, and putting points back, without a screen.
#include "tests/app/bare_imgui.h"

#include "app/panels/view_removed.h"
#include "core/base/error.h"
#include "core/base/random.h"
#include "core/record/green_file.h"
#include "core/record/survey_again.h"
#include "tests/support/other_process.h"

#include <fmt/format.h>
#include <atomic>
#include <fstream>
#include <imgui_internal.h>
#include <mutex>

using namespace brae;
using namespace brae::test;

namespace {

// A plane of 12 m with a thing 0.3 m high in its middle.
void write_cloud(const fs::path& file) {
    std::ofstream out(file);
    Random random(3);
    for (int k = 0; k < 20000; ++k) {
        const double x = random.uniform(0, 12), y = random.uniform(0, 12);
        out << fmt::format("{:.4f} {:.4f} {:.5f}\n", x, y, 20 - 0.02 * x + 0.002 * random.normal());
    }
    for (int k = 0; k < 120; ++k) out << fmt::format("{:.4f} {:.4f} {:.5f}\n", random.uniform(5.9, 6.1), random.uniform(5.9, 6.1), 20.18);
}

void store(const fs::path& survey, const fs::path& file) {
    Progress progress;
    SurveyOrder order;
    order.files = {survey};
    Green green = green_from_survey(order, "lawn", progress);
    green.revision = green.surface_revision = 1;
    write_green_file(green, file, progress);
}

void add_hole(const fs::path& file, const char* name) {
    Green green = read_green_file(file);
    ++green.revision;
    green.holes.push_back({name, {6, 5}, "", "", false});
    update_green_file(green, file);
}

// Opens a file and waits for all that follows from it.
void open(Bench& b, const fs::path& file) {
    b.session->open(file);
    b.settle();
}

plugin::GreenEdit one_hole(const char* name) {
    plugin::GreenEdit edit;
    edit.add_holes.push_back({name, {5, 5}, "", "", false});
    return edit;
}

}  // namespace

TEST_CASE("the second window is read-only, says so, follows the first one's changes, and may edit once that is closed") {
    const Scratch scratch;
    const fs::path file = scratch / "lawn.gpkg";
    write_cloud(scratch / "cloud.xyz");
    store(scratch / "cloud.xyz", file);
    Other first([&] { if (take_edit_lock(file).state != LockState::own) throw 1; },
                {{'c', [&] { add_hole(file, "theirs"); }}, {'e', [&] { release_edit_lock(file); }}});
    Bench b(false);
    open(b, file);
    REQUIRE(b.session->has_green());
    app::Document& document = b.session->document;
    CHECK(document.read_only().find("process " + std::to_string(first.pid())) != std::string::npos);
    CHECK_FALSE(b.session->lock_question());
    CHECK_THROWS_AS(document.apply(one_hole("ours")), Error);
    CHECK(document.now().green->holes.empty());
    b.session->put_back({});
    CHECK(b.session->message.find("read-only") != std::string::npos);

    // What the first one changes is seen here, and the ball stays.
    const auto ball = document.now().ball;
    REQUIRE(ball);
    b.session->look_at_file();
    b.settle();
    CHECK(document.now().green->revision == 1);
    first.tell('c');
    b.session->look_at_file();
    b.settle();
    CHECK(document.now().green->revision == 2);
    REQUIRE(document.now().green->holes.size() == 1);
    CHECK(document.now().green->holes[0].name == "theirs");
    CHECK(document.now().ball == ball);
    CHECK_FALSE(document.read_only().empty());

    // And once it is closed there, edits are kept here.
    first.tell('e');
    b.session->look_at_file();
    b.settle();
    CHECK(document.read_only().empty());
    document.apply(one_hole("ours"));
    CHECK(read_green_file(file).holes.size() == 2);
    CHECK(edit_lock_of(file).state == LockState::own);
}

TEST_CASE("a window gives its lock back when it opens another green, and when it ends") {
    const Scratch scratch;
    const fs::path file = scratch / "lawn.gpkg", second = scratch / "second.gpkg";
    write_cloud(scratch / "cloud.xyz");
    store(scratch / "cloud.xyz", file);
    fs::copy_file(file, second);
    {
        Bench b(false);
        open(b, file);
        CHECK(edit_lock_of(file).state == LockState::own);
        // The same file again keeps it.
        open(b, file);
        CHECK(edit_lock_of(file).state == LockState::own);
        CHECK(b.session->document.read_only().empty());
        open(b, second);
        CHECK(edit_lock_of(file).state == LockState::free);
        CHECK(edit_lock_of(second).state == LockState::own);
    }
    CHECK(edit_lock_of(second).state == LockState::free);
}

TEST_CASE("a lock of another machine that is old enough is taken over after a question") {
    const Scratch scratch;
    const fs::path file = scratch / "lawn.gpkg";
    write_cloud(scratch / "cloud.xyz");
    store(scratch / "cloud.xyz", file);
    REQUIRE(take_edit_lock(file).state == LockState::own);
    {
        Database db(file, Database::Access::write);
        db.run("UPDATE brae_edit_lock SET host = 'no-such-host.example', taken_at = '2020-01-01T00:00:00Z'");
    }
    Bench b(false);
    open(b, file);
    CHECK(b.session->lock_question());
    b.session->answer_lock_question(false);
    b.settle();
    CHECK_FALSE(b.session->document.read_only().empty());
    open(b, file);
    b.session->answer_lock_question(true);
    b.settle();
    CHECK_FALSE(b.session->lock_question());
    CHECK(b.session->document.read_only().empty());
    CHECK(edit_lock_of(file).state == LockState::own);
}

TEST_CASE("points are put back into a stored green from the window, its file is renewed, and they can be taken out again") {
    const Scratch scratch;
    const fs::path file = scratch / "lawn.gpkg";
    write_cloud(scratch / "cloud.xyz");
    store(scratch / "cloud.xyz", file);
    Bench b(false);
    open(b, file);
    const app::Document& document = b.session->document;
    const auto before = document.now().green;
    REQUIRE(before->removed);
    REQUIRE(before->removed->counts[above_turf] >= 100);
    const auto ball = document.now().ball;
    PutBack points;
    points.reasons[above_turf] = true;
    b.session->put_back(points);
    b.settle();
    CHECK_MESSAGE(b.session->message.empty(), b.session->message);
    CHECK(document.now().green->surface_revision == 2);
    CHECK(document.now().green->removed->counts[above_turf] == 0);
    CHECK(document.now().ball == ball);
    CHECK(document.stored());
    CHECK(read_green_file(file).record.put_back == points);
    CHECK(edit_lock_of(file).state == LockState::own);
    // An edit goes on from there.
    b.session->document.apply(one_hole("after"));
    CHECK(read_green_file(file).revision == 3);
    b.session->put_back({});
    b.settle();
    CHECK(document.now().green->removed->counts == before->removed->counts);
    CHECK(document.now().green->holes.size() == 1);

    // A source that is gone is asked for; the file that is named then is taken.
    fs::rename(scratch / "cloud.xyz", scratch / "elsewhere.xyz");
    b.session->put_back(points);
    CHECK(b.session->message.find("is not where it was") != std::string::npos);
    REQUIRE(b.session->file_wish);
    CHECK_FALSE(b.session->file_wish->saving);
    const auto chosen = b.session->file_wish->chosen;
    b.session->file_wish.reset();
    chosen(scratch / "elsewhere.xyz");
    b.settle();
    CHECK(document.now().green->removed->counts[above_turf] == 0);
    CHECK(read_green_file(file).record.files[0].file.filename() == "elsewhere.xyz");
}

TEST_CASE("cancel stops the opening and leaves what was open, and a survey that is put back too") {
    const Scratch scratch;
    write_cloud(scratch / "cloud.xyz");
    Bench b;
    b.settle();
    const auto open_before = b.session->document.now().green;
    b.session->open(scratch / "cloud.xyz");
    CHECK(b.session->opening());
    b.session->cancel_wait();
    b.settle();
    CHECK_FALSE(b.session->opening());
    CHECK(b.session->document.now().green == open_before);
    CHECK(b.session->message.empty());

    // Of a raw survey that was opened.
    open(b, scratch / "cloud.xyz");
    const auto green = b.session->document.now().green;
    CHECK(green->revision == 0);
    PutBack points;
    points.reasons[above_turf] = true;
    b.session->put_back(points);
    b.session->cancel_wait();
    b.settle();
    CHECK(b.session->document.now().green == green);
    b.session->put_back(points);
    b.settle();
    CHECK(b.session->document.now().green->removed->counts[above_turf] == 0);
    CHECK(b.session->document.now().green->revision == 0);
    CHECK_FALSE(b.session->document.stored());
}

TEST_CASE("a box that is drawn in the view puts back what lies in it, and a click what lies round it") {
    const Scratch scratch;
    write_cloud(scratch / "cloud.xyz");
    for (const bool click : {false, true}) {
        CAPTURE(click);
        Bench b(false);
        open(b, scratch / "cloud.xyz");
        b.key('T');
        b.session->tool = app::Tool::put_back;
        const auto from = b.at({5.5, 5.5}), to = b.at({6.5, 6.6}), middle = b.at({6, 6});
        b.mouse(click ? middle.x : from.x, click ? middle.y : from.y);
        b.frame();
        b.frame();
        b.button(true);
        b.frame();
        if (!click) {
            b.mouse(to.x, to.y);
            b.frame();
            REQUIRE(b.session->put_back_box);
            CHECK(b.session->put_back_box->width() == doctest::Approx(1.0).epsilon(0.1));
        }
        b.button(false);
        b.frame();
        CHECK_FALSE(b.session->put_back_box);
        CHECK(b.session->tool == app::Tool::look);
        b.settle();
        const Green& green = *b.session->document.now().green;
        REQUIRE(green.record.put_back.boxes.size() == 1);
        CHECK(green.record.put_back.boxes[0].contains({6, 6}));
        CHECK(green.removed->counts[above_turf] < 20);
    }
}

TEST_CASE("the layer of removed points is off at first, is drawn by reason when it is on, and says what lies under the mouse") {
    const Scratch scratch;
    write_cloud(scratch / "cloud.xyz");
    Bench b(false);
    open(b, scratch / "cloud.xyz");
    const Green& green = *b.session->document.now().green;
    const auto signs = [&] {
        b.frame();
        ImDrawList list(ImGui::GetDrawListSharedData());
        list._ResetForNewFrame();
        list.PushClipRectFullScreen();
        return app::draw_removed_points(list, {b.bench->scene(), b.session->camera, b.bench->view()}, *green.terrain, std::nullopt);
    };
    CHECK(signs() == 0);
    const int before = b.frame();
    b.session->choice.removed = true;
    const std::size_t all = signs();
    CHECK(all >= green.removed->counts[above_turf]);
    CHECK(b.frame() > before + 100);
    b.session->choice.removed_reasons[above_turf] = false;
    CHECK(signs() == all - green.removed->counts[above_turf]);

    // Words for people.
    const RemovedPoint above{{6, 6, green.terrain->surface->height(6, 6) + 0.3}, above_turf};
    CHECK(app::words_on_removed(above, *green.terrain, plugin::Units::metric) == "300 mm over the turf, removed as a point above the turf");
    const RemovedPoint below{{6, 6, green.terrain->surface->height(6, 6) - 0.02}, below_turf};
    CHECK(app::words_on_removed(below, *green.terrain, plugin::Units::metric) == "20 mm under the turf, removed as a point below the turf");
    const RemovedPoint outside{{-60, 6, 3}, outside_clip};
    CHECK(app::words_on_removed(outside, *green.terrain, plugin::Units::metric) == "Removed as outside the edge");
    ReasonCounts counts{};
    counts[above_turf] = 1204, counts[below_turf] = 37, counts[outside_clip] = 1234567;
    CHECK(app::words_on_counts(counts) == "1,204 above the turf, 37 below the turf, 1,234,567 outside the edge");
    CHECK(app::words_on_counts({}).empty());
}

TEST_CASE("what the user waits for says its step and how far it is, and Cancel in the window ends it") {
    Bench b(false);
    // Work that stands at a step until it is told to go on: no clock decides what is seen.
    std::mutex gate;
    gate.lock();
    std::atomic<bool> there = false, ended = false;
    b.session->background.start("open", "Opening cloud.xyz", true, [&](Progress& progress) -> app::Background::TakeIn {
        progress.step(0.37, "cleaning");
        there = true;
        there.notify_all();
        gate.lock();
        gate.unlock();
        try {
            progress.step(0.5, "fitting");
        } catch (const Error&) {
            ended = true;
            throw;
        }
        return {};
    });
    there.wait(false);
    b.frame();
    b.frame();
    const auto running = b.session->background.running();
    REQUIRE(running.size() == 1);
    CHECK(running[0].stage == "cleaning");
    CHECK(running[0].fraction == 0.37);
    // The button of the card.
    ImGuiWindow* card = ImGui::FindWindowByName("##waiting");
    REQUIRE(card != nullptr);
    REQUIRE(card->Active);
    b.mouse(card->Pos.x + card->Size.x - 40, card->Pos.y + card->Size.y - 26);
    b.frame();
    b.button(true);
    b.frame();
    b.button(false);
    b.frame();
    CHECK(b.session->background.running().empty());
    gate.unlock();
    b.settle();
    CHECK(ended);
    CHECK_FALSE(b.session->has_green());
}

TEST_CASE("an edge drawn past the surface has the survey read again in the background; cancelled or without its file the old edge stays") {
    const Scratch scratch;
    const fs::path file = scratch / "lawn.gpkg";
    write_cloud(scratch / "cloud.xyz");
    std::ofstream(scratch / "edge.geojson") << R"({"type":"Polygon","coordinates":[[[3,3],[8,3],[8,8],[3,8],[3,3]]]})";
    {
        Progress progress;
        SurveyOrder order;
        order.files = {scratch / "cloud.xyz"};
        order.read.outline = scratch / "edge.geojson";
        Green green = green_from_survey(order, "lawn", progress);
        green.revision = green.surface_revision = 1;
        write_green_file(green, file, progress);
    }
    Bench b(false);
    open(b, file);
    const app::Document& document = b.session->document;
    const auto before = document.now().green;
    const auto local = [&](double x, double y) { return before->terrain->frame.from_map({x, y}); };
    plugin::GreenEdit edit;
    edit.outline = std::vector<Vec2>{local(1, 1), local(11, 1), local(11, 11), local(1, 11)};

    // Stopped: nothing happened.
    b.session->apply(edit);
    CHECK(document.now().green == before);
    b.session->cancel_wait();
    b.settle();
    CHECK(document.now().green == before);
    CHECK(read_green_file(file).revision == 1);

    // The survey is not there: it is asked for, and the edge stays.
    fs::rename(scratch / "cloud.xyz", scratch / "elsewhere.xyz");
    b.session->apply(edit);
    CHECK(b.session->message.find("is not where it was") != std::string::npos);
    REQUIRE(b.session->file_wish);
    const auto chosen = b.session->file_wish->chosen;
    b.session->file_wish.reset();
    CHECK(document.now().green == before);

    // Named, it is read.
    chosen(scratch / "elsewhere.xyz");
    b.settle();
    CHECK(document.now().green->terrain->outline.area_m2() == doctest::Approx(100).epsilon(1e-6));
    CHECK(document.now().green->surface_revision == 2);
    CHECK(b.session->message.find("has its new edge") != std::string::npos);
    CHECK(read_green_file(file).terrain->outline.source() == OutlineSource::drawn);

    // Within the surface only the edge changes, and beyond the data it is refused.
    edit.outline = std::vector<Vec2>{local(2, 2), local(10, 2), local(10, 10), local(2, 10)};
    b.session->apply(edit);
    b.settle();
    CHECK(document.now().green->terrain->outline.area_m2() == doctest::Approx(64).epsilon(1e-6));
    CHECK(document.now().green->surface_revision == 2);
    edit.outline = std::vector<Vec2>{local(2, 2), local(14, 2), local(10, 10), local(2, 10)};
    CHECK_THROWS_AS(b.session->apply(edit), Error);
    CHECK(document.now().green->terrain->outline.area_m2() == doctest::Approx(64).epsilon(1e-6));
}
