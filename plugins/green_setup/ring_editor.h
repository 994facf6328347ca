// A ring that is drawn or changed corner by corner, each step undone by itself. No window, no ImGui.
#pragma once

#include "plugins/api/services.h"

#include <optional>
#include <vector>

namespace brae::green_setup {

class RingEditor {
public:
    // drawing: an open line that grows by clicks; shaping: a closed ring whose corners move.
    enum class Mode { idle, drawing, shaping };

    void draw_new();
    void shape(const std::vector<Vec2>& ring);
    void stop();
    Mode mode() const { return mode_; }
    bool busy() const { return mode_ != Mode::idle; }
    const std::vector<Vec2>& ring() const { return now_.ring; }
    std::optional<std::size_t> selected() const { return now_.selected; }
    // Goes up with every change of the ring, for those who work something out from it.
    std::uint64_t version() const { return version_; }
    bool changed() const { return !undo_.empty(); }

    // The mouse: while drawing a press adds a corner, a double press closes; while shaping it takes the corner or the side
    // within reach_m, a side with a new corner, and with `whole` anything inside. False where it takes nothing.
    bool press(Vec2 p, double reach_m, bool twice);
    void drag(Vec2 p);
    void release();
    bool whole() const { return whole_; }
    void set_whole(bool whole) { whole_ = whole; }

    // Keys: Enter closes; Backspace takes the last corner while drawing; Tab goes round the corners; arrows move the one that
    // is selected (or all, with `whole`) by 10 cm, with Shift 1 cm; Insert puts a corner after it, Delete takes it; undo, redo.
    bool key(plugin::ToolKey key, bool shift);

    void add(Vec2 p);                        // while drawing
    bool close();                            // false with fewer than three corners
    void select(std::optional<std::size_t> corner);
    void move_selected(Vec2 to);
    void insert_after_selected();            // in the middle of the side that follows
    bool remove_selected();                  // false where three would no longer be left
    void shift_all(Vec2 by);
    bool undo();
    bool redo();

private:
    struct State { std::vector<Vec2> ring; std::optional<std::size_t> selected; Mode mode = Mode::idle; };
    void step();                             // remembers the present before a change
    void swap(std::vector<State>& from, std::vector<State>& to);

    Mode mode_ = Mode::idle;
    State now_;
    std::vector<State> undo_, redo_;
    bool whole_ = false, dragging_ = false, stepped_ = false;
    Vec2 grip_;                              // from the mouse to what it drags
    std::uint64_t version_ = 0;
};

}  // namespace brae::green_setup
