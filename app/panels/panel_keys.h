// Every control of the window by keys alone: F6 goes to a panel (with Shift to the one before; Tab as well while no tool is in
// hand), arrows go from control to control, Space or Enter presses, Escape goes back to the view.
#pragma once

#include <optional>

namespace brae::app {

// In the order that F6 goes round in: the one that is used most comes first.
enum class KeyPanel { right, top, left };

// One a window. Between ImGui::NewFrame and ImGui::Render, on ImGui's own navigation; while no control has its mark, no panel
// keeps the keyboard, so that keys are the view's and the tool's.
class PanelKeys {
public:
    // Before any panel is drawn.
    void begin();
    // In the panel's window, before its first control: takes the keys if it is this one's turn.
    void place(KeyPanel panel);
    // After the panels. True where a key that goes to a panel or back from it was pressed: it is nobody else's then.
    // tool: one is in hand; one that is newly in hand has the keys. right: the right panel is on show.
    bool end(bool tool, bool right);
    // Whether arrows, Space, Enter and Tab are a panel's.
    bool in_panel() const;
    void leave();

private:
    std::optional<KeyPanel> turn_, last_;
    bool popup_ = false, tool_ = false, anew_ = false, gone_ = false;
};

}  // namespace brae::app
