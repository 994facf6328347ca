#include "app/panels/panel_keys.h"

#include <imgui.h>
#include <imgui_internal.h>

#include <utility>

namespace brae::app {

namespace {

// As GLFW numbers it; this ImGui has no name of its own for it.
constexpr int kF6 = 295;

}  // namespace

void PanelKeys::begin() {
    ImGuiContext& g = *ImGui::GetCurrentContext();
    g.IO.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
    // Enter presses a button as Space does; a field takes it as the wish to type, as before.
    if (g.NavActivateInputId != 0 && g.NavActivateId == 0) g.NavActivateId = g.NavActivateDownId = g.NavActivatePressedId = g.NavActivateInputId;
}

void PanelKeys::place(KeyPanel panel) {
    if (turn_ != panel) return;
    turn_.reset();
    last_ = panel;
    ImGuiContext& g = *ImGui::GetCurrentContext();
    ImGui::SetWindowFocus();
    // Where the keys were last in it, else its first control.
    if (g.NavId == 0 || anew_) ImGui::NavInitWindow(ImGui::GetCurrentWindow(), true);
    g.NavDisableHighlight = false;
    g.NavDisableMouseHover = true;
}

bool PanelKeys::in_panel() const {
    const ImGuiContext& g = *ImGui::GetCurrentContext();
    return g.NavWindow && !g.NavDisableHighlight;
}

void PanelKeys::leave() {
    ImGui::SetWindowFocus(nullptr);
    ImGui::GetCurrentContext()->NavDisableHighlight = true;
    turn_.reset();
}

bool PanelKeys::end(bool tool, bool right) {
    ImGuiContext& g = *ImGui::GetCurrentContext();
    const bool popup = ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopup), had_popup = std::exchange(popup_, popup), had_tool = std::exchange(tool_, tool);
    if (popup) {
        gone_ = false;
        return false;
    }

    // A tool that was just taken has the keys, but not the one that pressed the control which took it.
    if (tool && !had_tool && !g.IO.WantTextInput) {
        const bool pressed = in_panel();
        leave();
        if (pressed) return true;
    }
    // Where the marked control has gone, as a button that put itself away, its panel begins anew; one without any has no keys.
    // In the frame that closes a list its own control was drawn before it got the mark back.
    const bool begun = std::exchange(anew_, false);
    const bool gone = in_panel() && !turn_ && !g.NavIdIsAlive && !g.NavInitRequest && g.NavInitResultId == 0, again = std::exchange(gone_, gone);
    if (gone && again) {
        if (begun || !last_) leave();
        else turn_ = last_, anew_ = true;
    }
    const bool inside = in_panel();
    const bool free_tab = !tool && !inside && !g.IO.KeyCtrl && !ImGui::IsAnyItemActive() && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Tab), false);
    if (ImGui::IsKeyPressed(kF6, false) || free_tab) {
        constexpr int kPanels = 3;
        const int step = g.IO.KeyShift ? kPanels - 1 : 1;
        int next = inside && last_ ? (static_cast<int>(*last_) + step) % kPanels : step == 1 ? 0 : kPanels - 1;
        if (!right && next == 0) next = step % kPanels;
        ImGui::ClearActiveID();
        turn_ = static_cast<KeyPanel>(next);
        return true;
    }
    // Escape closes a list first, and ends the typing in a field.
    if (inside && !had_popup && !g.IO.WantTextInput && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape), false)) {
        leave();
        return true;
    }
    // What was clicked last does not keep the keyboard, unless a field is about to be typed in.
    if (!inside && g.NavWindow && !turn_ && !ImGui::IsAnyItemActive() && !g.NavAnyRequest && !g.NavMoveSubmitted && g.NavNextActivateId == 0) ImGui::SetWindowFocus(nullptr);
    return false;
}

}  // namespace brae::app
