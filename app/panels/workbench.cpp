#include "app/panels/workbench.h"

#include "app/panels/panels.h"
#include "app/panels/theme.h"
#include "app/panels/view_removed.h"
#include "app/panels/wait_card.h"
#include "app/scene/draping.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <imgui.h>
#include <imgui_internal.h>

namespace brae::app {
namespace {

namespace kit = plugin::kit;

constexpr ImGuiWindowFlags kFixed = ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                                    ImGuiWindowFlags_NoCollapse | ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoBringToFrontOnFocus |
                                    ImGuiWindowFlags_NoNavFocus;

// A fixed panel with a hairline toward the view.
bool begin_panel(const char* name, ImVec2 at, ImVec2 size, ImGuiWindowFlags more = 0) {
    ImGui::SetNextWindowPos(at);
    ImGui::SetNextWindowSize(size);
    return ImGui::Begin(name, nullptr, kFixed | more);
}

// Draws a plugin's panel and puts ImGui's stacks right again where it threw in the middle of its work.
void draw_plugin(PluginHost& host, std::size_t slot) {
    ImGuiContext& g = *ImGui::GetCurrentContext();
    ImGuiWindow* window = g.CurrentWindow;
    const int fonts = g.FontStack.Size, flags = g.ItemFlagsStack.Size;
    host.draw_panel(slot);
    while (g.CurrentWindow != window && g.CurrentWindowStack.Size > 1) {
        ImGui::ErrorCheckEndWindowRecover(nullptr);
        if (g.CurrentWindow->Flags & ImGuiWindowFlags_ChildWindow) ImGui::EndChild();
        else ImGui::End();
    }
    ImGui::ErrorCheckEndWindowRecover(nullptr);
    while (g.FontStack.Size > fonts) ImGui::PopFont();
    while (g.ItemFlagsStack.Size > flags) ImGui::PopItemFlag();
}

}  // namespace

void Workbench::frame(float scale) {
    const ImVec2 size = ImGui::GetIO().DisplaySize;
    const float left = std::round(kLeftWidth * scale), right = std::round(kRightWidth * scale);
    const float top = std::round(kTopHeight * scale), status = std::round(kStatusHeight * scale);
    // The view keeps at least a third of a narrow window: the right column goes first.
    const float right_shown = size.x - left - right < size.x / 3 ? 0 : right;
    view_ = {left, top, std::max(1.0, static_cast<double>(size.x - left - right_shown)),
             std::max(1.0, static_cast<double>(size.y - top - status))};
    if (settle_ > 0) --settle_;
    session_.foot_px = static_cast<double>(86 * scale);
    session_.begin_frame(view_);
    panel_keys_.begin();
    if (!front_chosen_ && session_.host.count() > 0) {
        // The first plugin that works is in front at first.
        front_chosen_ = true;
        for (std::size_t k = 0; k < session_.host.count() && !front_; ++k)
            if (session_.host.item(k).on) front_ = k;
    }

    // Panels.
    begin_panel("##top", {0, 0}, {size.x, top}, ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse);
    panel_keys_.place(KeyPanel::top);
    top_bar(scale);
    ImGui::End();
    begin_panel("##left", {0, top}, {left, size.y - top - status});
    panel_keys_.place(KeyPanel::left);
    left_column(scale);
    ImGui::End();
    if (right_shown > 0) {
        begin_panel("##right", {size.x - right, top}, {right, size.y - top - status}, ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse);
        right_column(scale);
        ImGui::End();
    }
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {16 * scale, 5 * scale});
    begin_panel("##status", {0, size.y - status}, {size.x, status}, ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse);
    ImGui::PopStyleVar();
    draw_status_bar(session_, scale);
    ImGui::End();
    dialogs(scale);

    // The view's own input, and the read that follows from it in this very frame.
    view_mouse(scale);
    // The key that answered a question is nobody else's.
    const bool answered = std::exchange(answered_, false);
    if (!panel_keys_.end(session_.host.has_tool(), right_shown > 0) && !answered) keys();
    session_.refresh();
    scene_ = session_.scene(front_);

    // What is written over the view; hairlines between view and panels.
    ImDrawList& back = *ImGui::GetBackgroundDrawList();
    const GroundLayers* layers = session_.layers();
    draw_view_marks(back, {scene_, session_.camera, view_, scale, session_.units,
                           layers && session_.choice.contours ? layers->contour_interval_m : 0,
                           layers && session_.choice.fall_lines});
    if (session_.has_green())
        draw_removed_points(back, {scene_, session_.camera, view_, scale, session_.units}, *session_.document.now().green->terrain,
                            over_view_ && drag_ == Drag::none ? std::optional(ImGui::GetIO().MousePos) : std::nullopt);
    if (!session_.has_green()) empty_state(scale);
    notices(scale);
    draw_wait_card(session_, view_, scale);
    ImDrawList& front = *ImGui::GetForegroundDrawList();
    if (!session_.file_wish && !session_.host.proposed()) {
        front.AddLine({0, top - 0.5f}, {size.x, top - 0.5f}, kHairline);
        front.AddLine({0, size.y - status + 0.5f}, {size.x, size.y - status + 0.5f}, kHairline);
        front.AddLine({left - 0.5f, top}, {left - 0.5f, size.y - status}, kHairline);
        if (right_shown > 0) front.AddLine({size.x - right + 0.5f, top}, {size.x - right + 0.5f, size.y - status}, kHairline);
    }
}

void Workbench::top_bar(float scale) {
    ImGui::SetCursorPosY((kTopHeight * scale - ImGui::GetFrameHeight()) / 2);
    const bool green = session_.has_green();
    if (ImGui::Button("Open\u2026")) ask_open();
    ImGui::SameLine();
    ImGui::BeginDisabled(!green);
    if (ImGui::Button("Save as\u2026")) ask_save();
    ImGui::SameLine();
    if (ImGui::Button("Export")) ImGui::OpenPopup("##exports");
    ImGui::EndDisabled();
    if (ImGui::BeginPopup("##exports")) {
        const auto exports = session_.host.exports();
        if (exports.empty()) kit::remark("No plugin offers an export.");
        for (const auto& e : exports)
            if (ImGui::MenuItem((e.title + "\u2026").c_str(), e.plugin.c_str(), false, e.ready)) session_.host.ask_export(e.slot, e.index);
        ImGui::EndPopup();
    }
    ImGui::SameLine(0, 24 * scale);
    ImGui::BeginDisabled(!session_.document.can_undo());
    if (ImGui::Button("Undo")) session_.undo();
    ImGui::EndDisabled();
    ImGui::SameLine();
    ImGui::BeginDisabled(!session_.document.can_redo());
    if (ImGui::Button("Redo")) session_.redo();
    ImGui::EndDisabled();

    // Views stand over the right edge of the view.
    const char* names[] = {"Fit", "From above", "Behind the ball"};
    float width = 2 * ImGui::GetStyle().ItemSpacing.x;
    for (const char* name : names) width += ImGui::CalcTextSize(name).x + 2 * ImGui::GetStyle().FramePadding.x;
    ImGui::SameLine();
    ImGui::SetCursorPosX(static_cast<float>(view_.x + view_.width) - width - 16 * scale);
    ImGui::BeginDisabled(!green);
    const auto view_button = [&](const char* name, bool on) {
        if (on) ImGui::PushStyleColor(ImGuiCol_Button, ImGui::GetStyleColorVec4(ImGuiCol_Header));
        const bool pressed = ImGui::Button(name);
        if (on) ImGui::PopStyleColor();
        return pressed;
    };
    if (view_button(names[0], false)) session_.fit(view_);
    ImGui::SameLine();
    if (view_button(names[1], session_.camera.kind() == ViewKind::above)) session_.look_from_above(view_);
    ImGui::SameLine();
    if (view_button(names[2], session_.camera.kind() == ViewKind::behind_ball)) session_.look_from_behind();
    ImGui::EndDisabled();

    // Units at the far right.
    const char* units[] = {"Metric", "Feet"};
    float both = ImGui::GetStyle().ItemSpacing.x;
    for (const char* name : units) both += ImGui::CalcTextSize(name).x + 2 * ImGui::GetStyle().FramePadding.x;
    const float at = ImGui::GetContentRegionMax().x - both;
    ImGui::SameLine();
    if (at > ImGui::GetCursorPosX()) ImGui::SetCursorPosX(at);
    for (int k = 0; k < 2; ++k) {
        const auto unit = static_cast<plugin::Units>(k);
        if (view_button(units[k], session_.units == unit)) session_.units = unit;
        if (k == 0) ImGui::SameLine();
    }
}

void Workbench::left_column(float scale) {
    if (!session_.has_green()) {
        kit::heading("No green is open");
        kit::remark("A green file (.gpkg) holds a surveyed green with its marks, holes and stations. A survey as it was handed over opens as well: PLY, PCD, XYZ, CSV, GeoTIFF or ASC.");
        ImGui::Spacing();
        if (ImGui::Button("Open\u2026##empty", {-1, 0})) ask_open();
        ImGui::Dummy({0, 8 * scale});
        draw_view_panel(session_, scale);
        return;
    }
    const auto rule = [&] {
        ImGui::Dummy({0, 4 * scale});
        ImGui::Separator();
    };
    draw_green_panel(session_);
    rule();
    draw_putt_panel(session_, scale);
    rule();
    draw_view_panel(session_, scale);
}

void Workbench::tabs(float scale) {
    // A flow of words that wraps; the one in front is underlined.
    const std::size_t count = session_.host.count();
    const float edge = ImGui::GetContentRegionMax().x;
    bool first = true;
    const auto tab = [&](const char* name, std::optional<std::size_t> slot) {
        const float width = ImGui::CalcTextSize(name).x;
        if (!first) {
            ImGui::SameLine(0, 18 * scale);
            if (ImGui::GetCursorPosX() + width > edge) ImGui::NewLine();
        }
        first = false;
        ImGui::PushID(slot ? static_cast<int>(*slot) : -1);
        const ImVec2 at = ImGui::GetCursorScreenPos();
        const float h = ImGui::GetTextLineHeight() + 8 * scale;
        if (ImGui::InvisibleButton("##tab", {width, h})) bring_to_front(slot);
        const bool on = front_ == slot, hovered = ImGui::IsItemHovered();
        ImDrawList* list = ImGui::GetWindowDrawList();
        list->AddText(at, on || hovered ? kInk : kQuietInk, name);
        if (on) list->AddRectFilled({at.x, at.y + h - 4 * scale}, {at.x + width, at.y + h - 2 * scale}, kAccent);
        ImGui::PopID();
    };
    for (std::size_t k = 0; k < count; ++k)
        if (session_.host.item(k).on) tab(session_.host.item(k).title.c_str(), k);
    tab("Plugins", std::nullopt);
    ImGui::Dummy({0, 2 * scale});
}

void Workbench::right_column(float scale) {
    // A plugin that was switched off leaves the front to the Plugins panel, which says why.
    if (front_ && (*front_ >= session_.host.count() || !session_.host.item(*front_).on)) front_.reset();
    tabs(scale);
    // By keys one goes from the tabs into the panel and back as if it were one.
    ImGui::BeginChild("##panel", {0, 0}, false, ImGuiWindowFlags_NavFlattened);
    panel_keys_.place(KeyPanel::right);
    if (front_) draw_plugin(session_.host, *front_);
    else draw_plugins_panel(session_, scale);
    ImGui::EndChild();
}

// Letters, digits and signs as the keyboard writes them.
bool Workbench::tool_letters() {
    const ImGuiIO& io = ImGui::GetIO();
    // The same one while a key is held is the keyboard repeating it.
    constexpr float kRepeatAfterS = 0.2f;
    bool held = false, used = false, down = false;
    for (float duration : io.KeysDownDuration) held = held || duration > kRepeatAfterS, down = down || duration > 0;
    for (const ImWchar wide : io.InputQueueCharacters) {
        if (wide <= ' ' || wide > '~') continue;
        const char letter = wide >= 'a' && wide <= 'z' ? static_cast<char>(wide - 'a' + 'A') : static_cast<char>(wide);
        if (held && letter == last_letter_) {
            used = true;
            continue;
        }
        last_letter_ = letter;
        used = session_.host.tool_letter(letter) || used;
    }
    // Until the key goes up it is none of the program's own.
    letter_down_ = used || (letter_down_ && down);
    return letter_down_;
}

// Keys that the tool in hand has a use for.
bool Workbench::tool_keys() {
    if (!session_.host.has_tool()) return false;
    using K = plugin::ToolKey;
    const ImGuiIO& io = ImGui::GetIO();
    bool used = false;
    if (io.KeyCtrl) {
        if (ImGui::IsKeyPressed('Z')) used = session_.host.tool_key(io.KeyShift ? K::redo : K::undo, io.KeyShift);
        else if (ImGui::IsKeyPressed('Y')) used = session_.host.tool_key(K::redo, false);
        return used;
    }
    used = tool_letters();
    if (panel_keys_.in_panel()) return used;
    constexpr std::pair<ImGuiKey, K> kKeys[] = {
        {ImGuiKey_Enter, K::enter}, {ImGuiKey_KeyPadEnter, K::enter}, {ImGuiKey_Backspace, K::backspace}, {ImGuiKey_Delete, K::remove},
        {ImGuiKey_Insert, K::insert}, {ImGuiKey_Tab, K::tab}, {ImGuiKey_LeftArrow, K::left}, {ImGuiKey_RightArrow, K::right},
        {ImGuiKey_UpArrow, K::up}, {ImGuiKey_DownArrow, K::down}};
    for (const auto& [key, tool] : kKeys)
        if (ImGui::IsKeyPressed(ImGui::GetKeyIndex(key), key != ImGuiKey_Enter)) used = session_.host.tool_key(tool, io.KeyShift) || used;
    if (!used && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape), false)) {
        used = true;
        if (!session_.host.pick_prompt() && session_.tool == Tool::look && !session_.host.tool_key(K::escape, false)) session_.host.end_tool();
        else if (session_.host.pick_prompt() || session_.tool != Tool::look) used = false;
    }
    return used;
}

// A plugin whose shortcut was pressed comes to the front, so that what it does is seen.
void Workbench::press(char key, bool ctrl, bool shift) {
    if (const auto slot = session_.host.press(key, ctrl, shift); slot && session_.host.item(*slot).on) bring_to_front(slot);
}

void Workbench::keys() {
    const ImGuiIO& io = ImGui::GetIO();
    if (io.WantTextInput || ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopup)) return;
    if (tool_keys()) return;
    // Letters have their ASCII numbers as key codes, as GLFW gives them.
    const auto pressed = [](int key) { return ImGui::IsKeyPressed(key); };
    if (io.KeyCtrl) {
        if (pressed('Z')) io.KeyShift ? session_.redo() : session_.undo();
        else if (pressed('Y')) session_.redo();
        else if (pressed('O')) ask_open();
        else if (pressed('S') && session_.has_green()) ask_save();
        else
            for (char c = 'A'; c <= 'Z'; ++c)
                if (ImGui::IsKeyPressed(c, false)) press(c, true, io.KeyShift);
        return;
    }
    if (ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape), false)) {
        session_.tool = Tool::look;
        session_.put_back_box.reset();
        if (drag_ == Drag::put_back) drag_ = Drag::none;
        session_.host.end_pick();
        session_.message.clear();
    }
    if (!session_.has_green()) return;
    if (pressed('B')) session_.tool = session_.tool == Tool::put_ball ? Tool::look : Tool::put_ball;
    else if (pressed('H')) session_.tool = session_.tool == Tool::put_hole ? Tool::look : Tool::put_hole;
    else if (pressed('F')) session_.fit(view_);
    else if (pressed('T')) session_.look_from_above(view_);
    else if (pressed('V')) session_.look_from_behind();
    else if (pressed('=') || pressed('+')) session_.camera.zoom(1.2, nullptr, view_);
    else if (pressed('-')) session_.camera.zoom(1 / 1.2, nullptr, view_);
    else {
        // Arrows turn; with shift they pan.
        const auto arrow = [&](ImGuiKey key, double dx, double dy) {
            if (panel_keys_.in_panel() || !ImGui::IsKeyPressed(ImGui::GetKeyIndex(key))) return;
            if (io.KeyShift) session_.camera.pan(30 * dx, 30 * dy, view_);
            else session_.camera.orbit(15 * dx, 15 * dy);
        };
        arrow(ImGuiKey_LeftArrow, -1, 0);
        arrow(ImGuiKey_RightArrow, 1, 0);
        arrow(ImGuiKey_UpArrow, 0, -1);
        arrow(ImGuiKey_DownArrow, 0, 1);
        for (char c = '0'; c <= 'Z'; ++c)
            if (std::string("BHFTVP").find(c) == std::string::npos && ImGui::IsKeyPressed(c, false)) press(c, false, io.KeyShift);
    }
}

void Workbench::empty_state(float scale) {
    ImDrawList& list = *ImGui::GetBackgroundDrawList();
    const ImVec2 c(static_cast<float>(view_.x + view_.width / 2), static_cast<float>(view_.y + view_.height / 2));
    if (session_.opening()) return;   // a card says how far it is
    const std::string big = "Drop a green or a survey here";
    const char* small = "or choose Open\u2026 (Ctrl+O). Surveys may be PLY, PCD, XYZ, CSV, GeoTIFF or ASC.";
    ImFont* title = kit::title_font();
    const ImVec2 a = title->CalcTextSizeA(title->FontSize, FLT_MAX, 0, big.c_str()), b = ImGui::CalcTextSize(small);
    list.AddText(title, title->FontSize, {c.x - a.x / 2, c.y - a.y}, kInk, big.c_str());
    list.AddText({c.x - b.x / 2, c.y + 8 * scale}, kQuietInk, small);
}

void Workbench::notices(float scale) {
    // What the next click does, or one sentence that the user should know, at the top of the view.
    std::string words;
    bool message = false;
    if (const std::string* prompt = session_.host.pick_prompt()) words = *prompt + "  \u00b7  Esc to leave";
    else if (session_.tool == Tool::put_ball) words = "Click where the ball lies  \u00b7  Esc to leave";
    else if (session_.tool == Tool::put_hole) words = "Click where the hole is  \u00b7  Esc to leave";
    else if (session_.tool == Tool::put_back) words = "Drag a box round the points to put back, or click for those within half a metre  \u00b7  Esc to leave";
    else if (const std::string* tool = session_.host.tool_prompt(); tool && !tool->empty() && session_.message.empty()) words = *tool + "  \u00b7  Esc to leave";
    else if (!session_.message.empty()) words = session_.message, message = true;
    if (words.empty()) return;
    const float wrap = std::min(560 * scale, static_cast<float>(view_.width) - 80 * scale);
    const ImVec2 text = ImGui::CalcTextSize(words.c_str(), nullptr, false, wrap);
    const float pad = 14 * scale, button = message ? 84 * scale : 0;
    const float w = text.x + 2 * pad + button;
    ImGui::SetNextWindowPos({static_cast<float>(view_.x + view_.width / 2) - w / 2, static_cast<float>(view_.y) + 14 * scale});
    ImGui::SetNextWindowSize({w, std::max(text.y, message ? ImGui::GetFrameHeight() : 0.0f) + 1.3f * pad});
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {pad, 0.65f * pad});
    ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6 * scale);
    ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
    ImGui::Begin("##notice", nullptr, kFixed | ImGuiWindowFlags_NoFocusOnAppearing | ImGuiWindowFlags_NoScrollbar | (message ? 0 : ImGuiWindowFlags_NoInputs));
    if (message) ImGui::AlignTextToFramePadding();
    ImGui::PushTextWrapPos(pad + wrap);
    ImGui::TextUnformatted(words.c_str());
    ImGui::PopTextWrapPos();
    if (message) {
        ImGui::SameLine(w - pad - 70 * scale);
        if (ImGui::Button("Close", {70 * scale, 0})) session_.message.clear();
    }
    ImGui::End();
    ImGui::PopStyleVar(3);
}

void Workbench::dialogs(float scale) {
    browser_.draw(session_, scale);

    draw_lock_question(session_, scale);

    // A plugin's proposal waits for a yes or a no.
    const plugin::GreenEdit* edit = session_.host.proposed();
    for (int k = 0; edit && !edit->ask && k < 100; ++k) {
        session_.confirm_edit(true);
        edit = session_.host.proposed();
    }
    if (!edit || !edit->ask) return;
    if (!ImGui::IsPopupOpen("##proposal")) ImGui::OpenPopup("##proposal");
    ImGui::SetNextWindowPos(ImGui::GetMainViewport()->GetCenter(), ImGuiCond_Always, {0.5f, 0.5f});
    ImGui::SetNextWindowSize({420 * scale, 0});
    if (ImGui::BeginPopupModal("##proposal", nullptr, ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove)) {
        ImGui::PushTextWrapPos(0);
        ImGui::TextUnformatted(edit->sentence.c_str());
        ImGui::PopTextWrapPos();
        if (!session_.document.stored()) kit::remark("This green is not saved as a green file yet: the change lives in the window until you save.");
        ImGui::Dummy({0, 6 * scale});
        const float width = 104 * scale;
        ImGui::SetCursorPosX(ImGui::GetContentRegionMax().x - 2 * width - ImGui::GetStyle().ItemSpacing.x);
        std::optional<bool> answer;
        if (ImGui::Button("Leave it", {width, 0}) || ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape))) answer = false;
        ImGui::SameLine();
        // The Enter that led here does not answer as well.
        const bool enter = !ImGui::IsWindowAppearing() && !ImGui::GetIO().NavVisible && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Enter), false);
        if (ImGui::Button("Keep", {width, 0}) || enter) answer = true;
        if (answer) ImGui::CloseCurrentPopup();
        ImGui::EndPopup();
        answered_ = answer.has_value();
        if (answer) session_.confirm_edit(*answer);
    }
}

void Workbench::ask_open() {
    session_.file_wish = FileWish{"Open a green or a survey", "", "", false, [this](std::filesystem::path file) { session_.open(file); }};
    settle();
}

void Workbench::ask_save() {
    const std::string name = session_.document.file().stem().string();
    session_.file_wish = FileWish{"Save the green", (name.empty() ? "green" : name) + ".gpkg", "gpkg", true, [this](std::filesystem::path file) {
                                      session_.save_as(file);
                                  }};
    settle();
}

}  // namespace brae::app
