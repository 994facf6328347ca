// A panel by the keyboard alone: what the mouse can use in it, and what ImGui's keyboard navigation reaches.
#pragma once

#include "tests/support/panel_bench.h"

#include <map>
#include <set>

namespace brae::test {

// The panel has the keyboard, as in the program once its tab was clicked or reached.
inline void give_keys(PanelBench& bench, plugin::Plugin& panel) {
    ImGuiIO& io = ImGui::GetIO();
    io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
    for (const ImGuiKey key : {ImGuiKey_LeftArrow, ImGuiKey_RightArrow, ImGuiKey_UpArrow, ImGuiKey_DownArrow, ImGuiKey_Space, ImGuiKey_Enter, ImGuiKey_Escape, ImGuiKey_Tab})
        io.KeyMap[key] = 300 + key;
    bench.frames(panel);
    ImGui::SetWindowFocus("panel");
    bench.frames(panel);
}

inline void press_key(PanelBench& bench, plugin::Plugin& panel, ImGuiKey key) {
    ImGuiIO& io = ImGui::GetIO();
    io.KeysDown[io.KeyMap[key]] = true;
    bench.frames(panel, 2);
    io.KeysDown[io.KeyMap[key]] = false;
    bench.frames(panel, 2);
}

inline ImGuiID key_stands_on() { return ImGui::GetCurrentContext()->NavId; }

// Up to the top, then down, and on each line to the right and back.
inline std::set<ImGuiID> reached_by_keys(PanelBench& bench, plugin::Plugin& panel) {
    give_keys(bench, panel);
    std::set<ImGuiID> out;
    ImGuiID before = 1;
    while (before != key_stands_on()) {
        before = key_stands_on();
        press_key(bench, panel, ImGuiKey_UpArrow);
    }
    for (int line = 0; line < 200; ++line) {
        const ImGuiID here = key_stands_on();
        out.insert(here);
        int steps = 0;
        for (ImGuiID last = here; steps < 8; ++steps) {
            press_key(bench, panel, ImGuiKey_RightArrow);
            if (key_stands_on() == last) break;
            last = key_stands_on();
            out.insert(last);
        }
        for (; steps > 0; --steps) press_key(bench, panel, ImGuiKey_LeftArrow);
        press_key(bench, panel, ImGuiKey_DownArrow);
        if (key_stands_on() == here) break;
    }
    return out;
}

// Everything that answers to the mouse, and where it stands.
inline std::map<ImGuiID, ImVec2> used_by_mouse(PanelBench& bench, plugin::Plugin& panel) {
    ImGuiIO& io = ImGui::GetIO();
    bench.frames(panel);
    std::map<ImGuiID, ImVec2> out;
    for (float y = 4; y < bench.content.y; y += 5)
        for (float x = 12; x < 336; x += 18) {
            io.MousePos = {x, y};
            bench.frame(panel);
            const ImGuiContext& g = *ImGui::GetCurrentContext();
            if (g.HoveredId && !g.HoveredIdDisabled) out.emplace(g.HoveredId, io.MousePos);
        }
    io.MousePos = {-1, -1};
    bench.frame(panel);
    return out;
}

}  // namespace brae::test
