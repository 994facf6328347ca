#include "app/window/input_script.h"

#include "core/base/error.h"

#include <fstream>
#include <imgui.h>
#include <sstream>

namespace brae::app {
namespace {

// As GLFW numbers them.
constexpr std::pair<const char*, int> kNamedKeys[] = {{"Escape", 256}, {"Enter", 257}, {"Tab", 258}, {"Backspace", 259}, {"Insert", 260},
                                                      {"Delete", 261}, {"Right", 262}, {"Left", 263}, {"Down", 264}, {"Up", 265}, {"Space", 32}, {"F6", 295}};

int key_of(const std::string& word) {
    for (const auto& [name, code] : kNamedKeys)
        if (word == name) return code;
    return word.size() == 1 ? static_cast<unsigned char>(word[0]) : -1;
}

constexpr float kDoubleClickTime = 0.30f;  // ImGui's own

int button_of(const std::string& word) { return word == "left" ? 0 : word == "right" ? 1 : word == "middle" ? 2 : -1; }

}  // namespace

InputScript InputScript::parse(const std::string& text, const std::string& name) {
    InputScript out;
    std::istringstream lines(text);
    int number = 0;
    for (std::string line; std::getline(lines, line);) {
        ++number;
        std::istringstream words(line);
        std::string verb, word;
        if (!(words >> verb) || verb.front() == '#') continue;
        InputStep step;
        bool good = true;
        using K = InputStep::Kind;
        if (verb == "move") {
            step.kind = K::move;
            good = static_cast<bool>(words >> step.x >> step.y);
        } else if (verb == "press" || verb == "release" || verb == "double") {
            step.kind = verb == "press" ? K::press : verb == "release" ? K::release : K::twice;
            words >> word;
            step.number = button_of(word);
            good = step.number >= 0;
        } else if (verb == "wheel") {
            step.kind = K::wheel;
            good = static_cast<bool>(words >> step.x);
        } else if (verb == "key") {
            step.kind = K::key;
            step.number = words >> word ? key_of(word) : -1;
            good = step.number >= 0;
            while (words >> word) {
                if (word == "ctrl") step.ctrl = true;
                else if (word == "shift") step.shift = true;
                else good = false;
            }
        } else if (verb == "type") {
            step.kind = K::type;
            std::getline(words >> std::ws, step.text);
            good = !step.text.empty();
        } else if (verb == "wait") {
            step.kind = K::wait;
            good = words >> step.number && step.number > 0;
        } else if (verb == "idle") {
            step.kind = K::idle;
        } else {
            good = false;
        }
        if (!good)
            throw Error(name + ", line " + std::to_string(number) + ": \"" + line +
                        "\" is no step of recorded input; move, press, release, double, wheel, key, type, wait or idle is wanted");
        out.steps_.push_back(step);
    }
    return out;
}

InputScript InputScript::read(const std::filesystem::path& file) {
    std::ifstream in(file);
    if (!in) throw Error(file.string() + " cannot be read as recorded input");
    std::ostringstream text;
    text << in.rdbuf();
    return parse(text.str(), file.string());
}

void InputScript::apply(ImGuiIO& io, bool busy) {
    if (!given()) return;
    // A key goes up the frame after it went down.
    if (key_held_) {
        io.KeysDown[key_] = false;
        io.KeyCtrl = io.KeyShift = false;
        key_held_ = false;
    } else if (at_ < steps_.size()) {
        const InputStep& s = steps_[at_];
        bool over = true;
        switch (s.kind) {
            case InputStep::Kind::move: x_ = s.x; y_ = s.y; break;
            case InputStep::Kind::press: down_[s.number] = true; break;
            case InputStep::Kind::release: down_[s.number] = false; break;
            // Down, up, down, up, one a frame; however slow the frames are, it is a double click.
            case InputStep::Kind::twice:
                io.MouseDoubleClickTime = waited_ == 2 ? 1e6f : kDoubleClickTime;
                down_[s.number] = waited_ % 2 == 0;
                over = ++waited_ == 4;
                break;
            case InputStep::Kind::type: io.AddInputCharactersUTF8(s.text.c_str()); break;
            case InputStep::Kind::wheel: io.MouseWheel += s.x; break;
            case InputStep::Kind::key:
                key_ = s.number;
                key_held_ = true;
                io.KeysDown[key_] = true;
                io.KeyCtrl = s.ctrl;
                io.KeyShift = s.shift;
                // A key that writes something writes it, as the platform says beside the key.
                if (!s.ctrl && key_ > ' ' && key_ <= '~')
                    io.AddInputCharacter(static_cast<unsigned>(!s.shift && key_ >= 'A' && key_ <= 'Z' ? key_ - 'A' + 'a' : key_));
                break;
            case InputStep::Kind::wait: over = ++waited_ >= s.number; break;
            case InputStep::Kind::idle: over = !busy; break;
        }
        if (over) {
            ++at_;
            waited_ = 0;
        }
    }
    io.MousePos = {x_, y_};
    for (int k = 0; k < 3; ++k) io.MouseDown[k] = down_[k];
}

}  // namespace brae::app
