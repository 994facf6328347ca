#include "app/panels/panels.h"

#include "app/panels/theme.h"
#include "core/base/units.h"
#include "core/terrain/slope.h"
#include "plugins/api/panel_kit.h"

namespace brae::app {

namespace kit = plugin::kit;

void draw_status_bar(Session& session, float scale) {
    // Left: the ground under the mouse.
    ImGui::PushFont(kit::number_font());
    if (session.has_green() && session.cursor) {
        const Vec2 p = *session.cursor;
        const SurfaceJet j = session.document.now().green->terrain->surface->jet(p.x, p.y);
        const bool metric = session.units == plugin::Units::metric;
        const double unit = metric ? 1 : kFoot, slope = slope_ratio(j);
        std::string words = kit::number("%.2f", p.x / unit) + ", " + kit::number("%.2f", p.y / unit) + (metric ? " m" : " ft") +
                            "     height " + (metric ? kit::number("%.3f", j.h, "m") : kit::number("%.2f", feet_from_metres(j.h), "ft")) +
                            "     slope " + kit::number("%.1f", percent(slope), "%");
        if (slope > 1e-3) words += " toward " + kit::number("%.0f", bearing_deg({-j.hx, -j.hy})) + "\u00b0";
        ImGui::TextUnformatted(words.c_str());
    } else {
        ImGui::TextUnformatted(" ");
    }
    ImGui::PopFont();

    // Right: what is being worked on, else the keys.
    auto running = session.background.running();
    // What the user waits for has a card of its own.
    std::erase_if(running, [](const Background::Running& r) { return r.key == "open" || r.key == "survey" || r.key == "edit"; });
    const std::string& closed = session.document.read_only();
    if (!running.empty()) {
        const float bar = 110 * scale, width = ImGui::CalcTextSize(running.front().title.c_str()).x + bar + 12 * scale;
        ImGui::SameLine(ImGui::GetContentRegionMax().x - width);
        ImGui::TextDisabled("%s", running.front().title.c_str());
        ImGui::SameLine();
        const ImVec2 at = ImGui::GetCursorScreenPos();
        const float y = at.y + ImGui::GetTextLineHeight() / 2 - 2 * scale, x1 = at.x + bar;
        ImDrawList* list = ImGui::GetWindowDrawList();
        list->AddRectFilled({at.x, y}, {x1, y + 4 * scale}, kHairline, 2 * scale);
        list->AddRectFilled({at.x, y}, {at.x + bar * static_cast<float>(std::clamp(running.front().fraction, 0.02, 1.0)), y + 4 * scale}, kAccent, 2 * scale);
        ImGui::NewLine();
    } else if (session.has_green() && !closed.empty()) {
        ImGui::SameLine(std::max(ImGui::GetCursorPosX(), ImGui::GetContentRegionMax().x - ImGui::CalcTextSize(closed.c_str()).x));
        ImGui::TextUnformatted(closed.c_str());
    } else if (session.has_green()) {
        const char* keys = "B ball    H hole    F fit    T above    V behind the ball    F6 panels";
        ImGui::SameLine(ImGui::GetContentRegionMax().x - ImGui::CalcTextSize(keys).x);
        ImGui::TextDisabled("%s", keys);
    }
}

}  // namespace brae::app
