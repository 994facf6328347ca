#include "app/panels/panels.h"

#include "core/base/units.h"
#include "plugins/api/panel_kit.h"

#include <cmath>

namespace brae::app {
namespace {

namespace kit = plugin::kit;

std::string place_text(const std::optional<Vec2>& p, plugin::Units units) {
    if (!p) return "not put yet";
    const double unit = units == plugin::Units::metric ? 1 : kFoot;
    return kit::number("%.2f", p->x / unit) + ",  " + kit::number("%.2f", p->y / unit);
}

// A row with a small button that starts a tool.
void place_row(Session& session, const char* label, const char* button, Tool tool, const std::optional<Vec2>& p, float scale) {
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("%s", label);
    ImGui::SameLine(52 * scale);
    ImGui::PushFont(kit::number_font());
    ImGui::TextUnformatted(place_text(p, session.units).c_str());
    ImGui::PopFont();
    const float width = 62 * scale;
    ImGui::SameLine(ImGui::GetContentRegionMax().x - width);
    const bool on = session.tool == tool;
    if (on) ImGui::PushStyleColor(ImGuiCol_Button, ImGui::GetStyleColorVec4(ImGuiCol_Header));
    if (ImGui::Button(button, {width, 0})) session.tool = on ? Tool::look : tool;
    if (on) ImGui::PopStyleColor();
}

void speed_and_pace(Session& session, float scale) {
    const DocumentValue& now = session.document.now();
    // A slider drag is one step of undo.
    const auto gesture = [&] {
        if (ImGui::IsItemActivated()) session.document.begin_gesture();
        if (ImGui::IsItemDeactivated()) session.document.end_gesture();
    };
    const float label = 92 * scale;
    ImGui::PushFont(kit::number_font());
    float speed = static_cast<float>(now.green_speed_ft);
    ImGui::PopFont();
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Green speed");
    ImGui::SameLine(label);
    ImGui::SetNextItemWidth(-1);
    ImGui::PushFont(kit::number_font());
    const bool speed_moved = ImGui::SliderFloat("##speed", &speed, kSlowestGreenFt, kFastestGreenFt, "%.1f ft", ImGuiSliderFlags_AlwaysClamp);
    gesture();
    if (speed_moved) session.document.set_green_speed(std::round(10.0 * static_cast<double>(speed)) / 10);
    ImGui::PopFont();

    // Pace: how far past the hole on the level.
    const bool metric = session.units == plugin::Units::metric;
    const double unit = metric ? 0.01 : kInch;
    float past = static_cast<float>(now.past_m / unit);
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Pace, past");
    ImGui::SameLine(label);
    ImGui::SetNextItemWidth(-1);
    ImGui::PushFont(kit::number_font());
    const bool past_moved = ImGui::SliderFloat("##past", &past, 0, metric ? 120.0f : 48.0f, metric ? "%.0f cm" : "%.1f in", ImGuiSliderFlags_AlwaysClamp);
    gesture();
    if (past_moved) session.document.set_past((metric ? std::round(static_cast<double>(past)) : std::round(2 * static_cast<double>(past)) / 2) * unit);
    ImGui::PopFont();
    const float half = (ImGui::GetContentRegionMax().x - label - ImGui::GetStyle().ItemSpacing.x) / 2;
    ImGui::SetCursorPosX(label);
    if (ImGui::Button("Dead weight", {half, 0})) session.document.set_past(kDeadWeightPastM);
    ImGui::SameLine();
    if (ImGui::Button("Usual", {half, 0})) session.document.set_past(kUsualPastM);
}

void read_rows(Session& session, const PuttRead& read) {
    const plugin::Units units = session.units;
    const bool full = session.reads.complete();
    const std::string wait = "\u2026";
    const DocumentValue& now = session.document.now();
    const SplineSurface& surface = *now.green->terrain->surface;

    // The aim, large: what the player needs.
    ImGui::PushFont(kit::title_font());
    std::string aim = "Aim away from the hole";
    if (read.aim_offset_m) {
        const double size = std::abs(*read.aim_offset_m);
        aim = read.aim_side == AimSide::straight ? "Aim straight" : "Aim " + kit::offset(size, units) + " " + to_text(read.aim_side);
    }
    ImGui::TextUnformatted(aim.c_str());
    ImGui::PopFont();
    std::string words = read.side == PuttSide::straight ? "straight" : to_text(read.side);
    words += full ? " \u00b7 \u00b1 " + kit::offset(read.aim_offset_se_m, units) + " from survey and speed" : " \u00b7 \u00b1 " + wait;
    kit::remark(words);
    ImGui::Spacing();

    const double rise = surface.height(now.hole->x, now.hole->y) - surface.height(now.ball->x, now.ball->y);
    kit::row("Distance", kit::distance(distance(*now.ball, *now.hole), units));
    kit::row(rise >= 0 ? "Uphill by" : "Downhill by", kit::height(std::abs(rise), units));
    kit::row("Break", read.aim_offset_m ? kit::offset(std::abs(*read.aim_offset_m), units) : "\u2013");
    kit::row("Launch, rolling", kit::speed(read.launch_mps, units));
    kit::row("Ball speed off the face", kit::speed(read.ball_speed_mps, units));
    kit::row("Rolls for", kit::number("%.1f", read.time_s, "s"));
    const bool window = full && read.has_window;
    kit::row("Holes within", window ? kit::number("%.1f", read.window.left_deg) + " to " + kit::number("+%.1f", read.window.right_deg) + "\u00b0" : full ? "\u2013" : wait);
    kit::row("at launch of", window ? kit::number("%.2f", units == plugin::Units::metric ? read.window.slow_mps : feet_from_metres(read.window.slow_mps)) + " to " + kit::speed(read.window.fast_mps, units) : full ? "\u2013" : wait);
    kit::row("Missed, on this slope", read.past_on_slope_m ? kit::distance(*read.past_on_slope_m, units) + " past" : "does not stop");
}

}  // namespace

void draw_putt_panel(Session& session, float scale) {
    const DocumentValue& now = session.document.now();
    kit::heading("Putt");
    place_row(session, "Ball", "Put  B", Tool::put_ball, now.ball, scale);
    place_row(session, "Hole", "Put  H", Tool::put_hole, now.hole, scale);
    speed_and_pace(session, scale);
    ImGui::Spacing();
    ImGui::Spacing();

    // The read, or why there is none.
    const auto& answer = session.reads.answer();
    if (!session.reads.refusal().empty()) kit::remark(session.reads.refusal());
    else if (!answer) kit::remark("Put the ball and the hole on the green to read the putt.");
    else if (answer->solutions.empty()) kit::remark(answer->why_none);
    else {
        read_rows(session, answer->solutions.front());
        if (answer->solutions.size() > 1)
            kit::remark("Another " + std::to_string(answer->solutions.size() - 1) + " faster way" +
                        (answer->solutions.size() > 2 ? "s" : "") + " to hole it, drawn as dash-dot.");
    }
}

}  // namespace brae::app
