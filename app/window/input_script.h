// Recorded input: a text file of moves, buttons and keys, one line a frame, so that a test can do what a hand does.
//   move X Y | press BUTTON | release BUTTON | double BUTTON | wheel N | key K [ctrl] [shift] | type TEXT | wait FRAMES | idle | # remark
// BUTTON is left, right or middle; K is one letter, digit, sign, or Escape, Enter, Tab, Backspace, Insert, Delete, Left, Right,
// Up, Down; `type` writes the rest of the line into the field that has the keyboard; `idle` waits for background work.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

struct ImGuiIO;

namespace brae::app {

struct InputStep {
    enum class Kind { move, press, release, twice, wheel, key, type, wait, idle } kind = Kind::wait;
    float x = 0, y = 0;         // move; x: wheel
    int number = 0;             // button, key code or frames
    bool ctrl = false, shift = false;
    std::string text;           // type
};

class InputScript {
public:
    InputScript() = default;
    // Throws Error naming file and line for a line that is none of the above.
    static InputScript read(const std::filesystem::path& file);
    static InputScript parse(const std::string& text, const std::string& name);

    bool given() const { return !steps_.empty(); }
    bool done() const { return at_ >= steps_.size() && !key_held_; }
    // Takes one step and writes mouse and keys into io, after the platform did and before ImGui::NewFrame.
    void apply(ImGuiIO& io, bool busy);

private:
    std::vector<InputStep> steps_;
    std::size_t at_ = 0;
    int waited_ = 0;
    float x_ = -1, y_ = -1;
    bool down_[3] = {false, false, false};
    int key_ = 0;
    bool key_held_ = false;
};

}  // namespace brae::app
