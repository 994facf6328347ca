// What the mouse does in the view: dragging ball and hole, turning, panning, boxes, and the tools of plugins.
#include "app/panels/workbench.h"

#include "app/scene/draping.h"

#include <algorithm>
#include <cmath>
#include <imgui.h>
#include <imgui_internal.h>
#include <utility>

namespace brae::app {

void Workbench::put(Tool tool, std::optional<Vec2> p) {
    if (!p) return;
    if (tool == Tool::put_ball) session_.document.put_ball(*p);
    if (tool == Tool::put_hole) session_.document.put_hole(*p);
}

void Workbench::view_mouse(float scale) {
    const ImGuiIO& io = ImGui::GetIO();
    const ImVec2 m = io.MousePos;
    const bool inside = m.x >= view_.x && m.x < view_.x + view_.width && m.y >= view_.y && m.y < view_.y + view_.height;
    over_view_ = inside && !ImGui::IsWindowHovered(ImGuiHoveredFlags_AnyWindow) && !ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopup);
    if (!session_.has_green()) {
        session_.cursor.reset();
        drag_ = Drag::none;
        return;
    }
    const auto near = [&](const std::optional<Vec2>& p, float reach) {
        if (!p) return false;
        const auto at = session_.camera.project(session_.display_point(drape(*session_.document.now().green->terrain, *p)), view_);
        return at && std::hypot(at->x - m.x, at->y - m.y) < reach * scale;
    };

    // A press begins something.
    const DocumentValue& now = session_.document.now();
    if (over_view_ && drag_ == Drag::none) {
        const bool pan = ImGui::IsMouseClicked(1) || ImGui::IsMouseClicked(2) || (ImGui::IsMouseClicked(0) && io.KeyShift);
        if (pan) {
            drag_ = Drag::pan;
        } else if (ImGui::IsMouseClicked(0)) {
            const auto p = session_.under(m.x, m.y, view_);
            if (session_.host.pick_prompt()) {
                if (p) session_.host.picked(*p);
            } else if (session_.tool == Tool::put_back) {
                if (p) {
                    drag_ = Drag::put_back;
                    box_from_ = *p;
                    box_px_ = 0;
                    draw_put_back(p);
                }
            } else if (session_.tool != Tool::look) {
                if (p) {
                    put(session_.tool, p);
                    session_.tool = Tool::look;
                }
            } else if (const auto at = session_.host.has_tool() ? pointer(scale) : std::nullopt; at && session_.host.tool_press(*at)) {
                drag_ = session_.host.has_tool() ? Drag::tool : Drag::none;
            } else if (near(now.ball, 13) || near(now.hole, 13)) {
                drag_ = near(now.ball, 13) ? Drag::ball : Drag::hole;
                session_.document.begin_gesture();
            } else {
                drag_ = Drag::orbit;
            }
        }
        if (io.MouseWheel != 0) {
            const PixelPoint at{m.x, m.y, 0};
            session_.camera.zoom(std::pow(1.15, static_cast<double>(io.MouseWheel)), &at, view_);
        }
    }

    // A movement goes on with it.
    const double dx = io.MouseDelta.x, dy = io.MouseDelta.y;
    if (drag_ != Drag::none && (dx != 0 || dy != 0)) {
        switch (drag_) {
            case Drag::ball: put(Tool::put_ball, session_.under(m.x, m.y, view_)); break;
            case Drag::hole: put(Tool::put_hole, session_.under(m.x, m.y, view_)); break;
            case Drag::orbit: session_.camera.orbit(dx / scale, dy / scale); break;
            case Drag::pan: session_.camera.pan(dx, dy, view_); break;
            case Drag::put_back:
                box_px_ += static_cast<float>(std::hypot(dx, dy));
                draw_put_back(session_.under(m.x, m.y, view_));
                break;
            case Drag::tool:
                if (const auto at = pointer(scale)) session_.host.tool_drag(*at);
                break;
            case Drag::none: break;
        }
    }
    if (drag_ != Drag::none && !io.MouseDown[0] && !io.MouseDown[1] && !io.MouseDown[2]) {
        if (drag_ == Drag::ball || drag_ == Drag::hole) session_.document.end_gesture();
        if (drag_ == Drag::put_back) end_put_back(box_px_ < 4 * scale);
        if (drag_ == Drag::tool) session_.host.tool_release();
        drag_ = Drag::none;
    }
    session_.cursor = over_view_ ? session_.under(m.x, m.y, view_) : std::nullopt;
    session_.pointer.reset();
    if (over_view_ && session_.host.has_tool()) session_.pointer = session_.cursor ? session_.cursor : session_.near_under(m.x, m.y, view_);
    if (over_view_ && (session_.tool != Tool::look || session_.host.pick_prompt() || session_.host.has_tool() || near(now.ball, 13) || near(now.hole, 13)))
        ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
}

// The box between where the mouse went down and where it is; off the green it stays as it was.
void Workbench::draw_put_back(std::optional<Vec2> p) {
    if (!p) return;
    session_.put_back_box = Box{std::min(box_from_.x, p->x), std::min(box_from_.y, p->y), std::max(box_from_.x, p->x), std::max(box_from_.y, p->y)};
}

void Workbench::end_put_back(bool clicked) {
    // A click means what lies round it.
    constexpr double reach = 0.5;
    std::optional<Box> box = std::exchange(session_.put_back_box, std::nullopt);
    session_.tool = Tool::look;
    if (clicked) box = Box{box_from_.x - reach, box_from_.y - reach, box_from_.x + reach, box_from_.y + reach};
    if (!box || !session_.has_green() || !(box->width() > 0) || !(box->height() > 0)) return;
    PutBack points = session_.document.now().green->record.put_back;
    points.boxes.push_back(*box);
    session_.put_back(points);
}

std::optional<plugin::Pointer> Workbench::pointer(float scale) const {
    const ImVec2 m = ImGui::GetIO().MousePos;
    const auto p = session_.near_under(m.x, m.y, view_);
    if (!p) return std::nullopt;
    const Vec3 place = session_.display_point(drape(*session_.document.now().green->terrain, *p));
    return plugin::Pointer{*p, scale * session_.camera.metres_per_pixel(place, view_), ImGui::IsMouseDoubleClicked(0)};
}

}  // namespace brae::app
