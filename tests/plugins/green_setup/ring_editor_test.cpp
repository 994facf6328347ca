#include "plugins/green_setup/ring_editor.h"

#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using green_setup::RingEditor;
using K = plugin::ToolKey;
using Mode = RingEditor::Mode;

namespace {

RingEditor square() {
    RingEditor e;
    e.shape({{0, 0}, {10, 0}, {10, 10}, {0, 10}});
    return e;
}

}  // namespace

TEST_CASE("a ring grows by clicks and is closed by Enter, by a double click or by a click on its first corner") {
    for (int way = 0; way < 3; ++way) {
        RingEditor e;
        e.draw_new();
        for (Vec2 p : {Vec2{0, 0}, Vec2{4, 0}, Vec2{4, 3}}) {
            CHECK(e.press(p, 0.2, false));
            e.release();
        }
        CHECK(e.mode() == Mode::drawing);
        if (way == 0) CHECK(e.key(K::enter, false));
        if (way == 1) CHECK(e.press({4, 3}, 0.2, true));
        if (way == 2) CHECK(e.press({0.1, 0.1}, 0.2, false));
        CHECK(e.mode() == Mode::shaping);
        CHECK(e.ring().size() == 3);
    }
}

TEST_CASE("two corners make no ring: it stays open and keeps them") {
    RingEditor e;
    e.draw_new();
    e.add({0, 0});
    e.add({4, 0});
    e.add({4, 0});  // the same place twice is one corner
    e.add({std::nan(""), 1});
    CHECK(!e.close());
    CHECK(e.key(K::enter, false));
    CHECK(e.mode() == Mode::drawing);
    CHECK(e.ring().size() == 2);
}

TEST_CASE("each step of drawing is taken back by itself, and done again") {
    RingEditor e;
    e.draw_new();
    for (Vec2 p : {Vec2{0, 0}, Vec2{4, 0}, Vec2{4, 3}}) e.add(p);
    e.close();
    e.select(1);
    e.move_selected({5, 0});
    CHECK(e.undo());
    CHECK(e.ring()[1] == Vec2{4, 0});
    CHECK(e.undo());
    CHECK(e.mode() == Mode::drawing);
    CHECK(e.undo());
    CHECK(e.ring().size() == 2);
    CHECK(e.redo());
    CHECK(e.redo());
    CHECK(e.redo());
    CHECK(e.ring()[1] == Vec2{5, 0});
    CHECK(!e.redo());
    // Backspace while drawing is a step as well.
    e.draw_new();
    e.add({1, 1});
    CHECK(e.key(K::backspace, false));
    CHECK(e.ring().empty());
    CHECK(e.key(K::undo, false));
    CHECK(e.ring().size() == 1);
}

TEST_CASE("a drag moves the corner that was taken and is one step, however far it goes") {
    RingEditor e = square();
    REQUIRE(e.press({10.05, 9.9}, 0.2, false));
    for (int k = 1; k <= 30; ++k) e.drag({10.05 + 0.1 * k, 9.9});
    e.release();
    CHECK(distance(e.ring()[2], {13, 10}) < 1e-9);
    CHECK(e.undo());
    CHECK(e.ring()[2] == Vec2{10, 10});
    CHECK(!e.undo());
}

TEST_CASE("a press on a side puts a corner there that follows the mouse, a press elsewhere is left to the view") {
    RingEditor e = square();
    CHECK(!e.press({5, 5}, 0.2, false));
    REQUIRE(e.press({5, 0.1}, 0.2, false));
    e.drag({5, -2});
    e.release();
    REQUIRE(e.ring().size() == 5);
    CHECK(e.ring()[1] == Vec2{5, -2});
    CHECK(e.undo());
    CHECK(e.ring().size() == 4);
}

TEST_CASE("the whole ring moves with its shape") {
    RingEditor e = square();
    e.set_whole(true);
    REQUIRE(e.press({5, 5}, 0.2, false));
    e.drag({6, 7});
    e.drag({7, 7});
    e.release();
    CHECK(distance(e.ring()[0], {2, 2}) < 1e-12);
    CHECK(distance(e.ring()[2], {12, 12}) < 1e-12);
    CHECK(e.undo());
    CHECK(e.ring()[0] == Vec2{0, 0});
}

TEST_CASE("keys reach every corner: Tab goes round, arrows move, Insert and Delete add and take, never below three") {
    RingEditor e = square();
    CHECK(e.key(K::tab, false));
    CHECK(e.selected() == 0u);
    CHECK(e.key(K::tab, true));
    CHECK(e.selected() == 3u);
    CHECK(e.key(K::right, false));
    CHECK(e.key(K::up, true));
    CHECK(distance(e.ring()[3], {0.10, 10.01}) < 1e-12);
    CHECK(e.key(K::insert, false));
    CHECK(e.ring().size() == 5);
    CHECK(e.selected() == 4u);
    CHECK(distance(e.ring()[4], {0.05, 5.005}) < 1e-12);
    CHECK(e.key(K::remove, false));
    CHECK(e.key(K::remove, false));
    CHECK(!e.key(K::remove, false));
    CHECK(e.ring().size() == 3);
    // Escape first lets the corner go, and is then the tool's end; arrows turn the view again.
    CHECK(e.key(K::escape, false));
    CHECK(!e.key(K::escape, false));
    CHECK(!e.key(K::left, false));
}
