// The whole window as ImGui sees it: fixed layout, panels, the view's mouse and keys, dialogs. No GL, no GLFW: it runs
// the same in tests that have no screen.
#pragma once

#include "app/panels/file_browser.h"
#include "app/panels/panel_keys.h"
#include "app/session/session.h"

#include <optional>
#include <string>

namespace brae::app {

class Workbench {
public:
    explicit Workbench(Session& session) : session_(session) {}

    // Between ImGui::NewFrame and ImGui::Render. Size and mouse in the pixels of io.DisplaySize.
    // Takes in background work, handles input, draws everything, and leaves scene() ready for the renderer.
    void frame(float scale);

    const Scene& scene() const { return scene_; }
    const Viewport& view() const { return view_; }
    // Whether something is going on that needs a further frame without new input.
    bool wants_frame() const { return settle_ > 0; }
    void settle(int frames = 3) { settle_ = std::max(settle_, frames); }
    FileBrowser& browser() { return browser_; }
    // Which tab is in front: a plugin, or the Plugins panel.
    std::optional<std::size_t> front() const { return front_; }
    void bring_to_front(std::optional<std::size_t> slot) { front_ = slot; front_chosen_ = true; }

private:
    enum class Drag { none, ball, hole, orbit, pan, tool, put_back };
    void top_bar(float scale);
    void left_column(float scale);
    void right_column(float scale);
    void tabs(float scale);
    void view_mouse(float scale);
    void keys();
    bool tool_keys();
    bool tool_letters();
    void press(char key, bool ctrl, bool shift);
    std::optional<plugin::Pointer> pointer(float scale) const;
    void put(Tool tool, std::optional<Vec2> p);
    void empty_state(float scale);
    void notices(float scale);
    void draw_put_back(std::optional<Vec2> p);
    void end_put_back(bool clicked);
    void dialogs(float scale);
    void ask_open();
    void ask_save();

    Session& session_;
    FileBrowser browser_;
    PanelKeys panel_keys_;
    Scene scene_;
    Viewport view_;
    Drag drag_ = Drag::none;
    Vec2 box_from_;                     // where a box to put back began
    float box_px_ = 0;                  // how far the mouse has gone since
    bool answered_ = false;             // a question, in this frame
    bool moved_ = false, over_view_ = false, front_chosen_ = false;
    std::optional<std::size_t> front_;
    int settle_ = 3;
    char last_letter_ = 0;              // the one that a tool was given last
    bool letter_down_ = false;          // and its key is still down
};

}  // namespace brae::app
