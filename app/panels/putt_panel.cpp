#include "app/panels/panels.h"

#include "app/panels/rows.h"

#include "core/base/interval.h"
#include "core/base/units.h"
#include "plugins/api/panel_kit.h"

#include <cmath>

namespace brae::app {
namespace {

namespace kit = plugin::kit;

// Two buttons that start a tool each; the one in use is tinted.
void tool_buttons(Session& session) {
    const float width = (ImGui::GetContentRegionAvail().x - ImGui::GetStyle().ItemSpacing.x) / 2;
    const auto button = [&](const char* words, Tool tool) {
        const bool on = session.tool == tool;
        if (on) ImGui::PushStyleColor(ImGuiCol_Button, ImGui::GetStyleColorVec4(ImGuiCol_Header));
        if (ImGui::Button(words, {width, 0})) session.tool = on ? Tool::look : tool;
        if (on) ImGui::PopStyleColor();
    };
    button("Put the ball", Tool::put_ball);
    ImGui::SameLine();
    button("Put the hole", Tool::put_hole);
}

void speed_and_pace(Session& session, float scale) {
    const DocumentValue& now = session.document.now();
    // A slider drag is one step of undo.
    const auto gesture = [&](const SliderUse& use) {
        if (use.began) session.document.begin_gesture();
    };
    const auto end = [&](const SliderUse& use) {
        if (use.ended) session.document.end_gesture();
    };
    float speed = static_cast<float>(now.green_speed_ft);
    SliderUse use = slider_row("Green speed", &speed, kSlowestGreenFt, kFastestGreenFt, "%.1f ft", scale);
    gesture(use);
    // The slider stops at half feet; any tenth may be typed.
    if (use.moved) session.document.set_green_speed(std::round((use.typed ? 10.0 : 2.0) * static_cast<double>(speed)) / (use.typed ? 10 : 2));
    end(use);

    // Pace: how far past the hole on the level.
    const bool metric = session.units == plugin::Units::metric;
    const double unit = metric ? 0.01 : kInch;
    float past = static_cast<float>(now.past_m / unit);
    use = slider_row("Pace, past", &past, 0, metric ? 120.0f : 48.0f, metric ? "%.0f cm" : "%.1f in", scale);
    gesture(use);
    if (use.moved) session.document.set_past((metric ? std::round(static_cast<double>(past)) : std::round(2 * static_cast<double>(past)) / 2) * unit);
    end(use);
    const float all = ImGui::GetContentRegionAvail().x - 2 * ImGui::GetStyle().ItemSpacing.x;
    const float dead = std::floor(0.38f * all), usual = std::floor(0.23f * all);
    // The last one says the pace that was found; it is there once it is.
    const BestPace* best = session.insight.best();
    const std::string found = best && best->best ? "Best " + kit::offset(best->best->past_m, session.units) + "##best" : "Best##best";
    if (ImGui::Button("Dead weight", {dead, 0})) session.document.set_past(kDeadWeightPastM);
    ImGui::SameLine();
    if (ImGui::Button("Usual", {usual, 0})) session.document.set_past(kUsualPastM);
    ImGui::SameLine();
    ImGui::BeginDisabled(!best || !best->best);
    if (ImGui::Button(found.c_str(), {all - dead - usual, 0}) && best && best->best) session.document.set_past(best->best->past_m);
    ImGui::EndDisabled();
    if (ImGui::IsItemHovered(ImGuiHoveredFlags_AllowWhenDisabled))
        ImGui::SetTooltip("%s", !best ? "The pace at which this putt forgives most is being found." : best->best ? "The pace at which this putt forgives most in direction and speed." : best->why_none.c_str());
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
    words += full ? " \u00b7 \u00b1 " + kit::offset(kZ90 * read.aim_offset_se_m, units) + " (90 %) from survey and speed" : " \u00b7 \u00b1 " + wait;
    kit::remark(words);
    ImGui::Spacing();

    const double rise = surface.height(now.hole->x, now.hole->y) - surface.height(now.ball->x, now.ball->y);
    kit::row("Distance", kit::distance(distance(*now.ball, *now.hole), units) + ", " + kit::height(std::abs(rise), units) + (rise >= 0 ? " up" : " down"));
    kit::row("Launch, rolling", kit::speed(read.launch_mps, units));
    kit::row("Ball speed off the face", kit::speed(read.ball_speed_mps, units));
    kit::row("Rolls for", kit::number("%.1f", read.time_s, "s"));
    const bool window = full && read.has_window;
    // By side of the putt where it has sides.
    const bool sides = read.aim_side != AimSide::straight, right_high = read.aim_side == AimSide::right;
    const double low = right_high ? -read.window.left_deg : read.window.right_deg, high = right_high ? read.window.right_deg : -read.window.left_deg;
    const std::string directions = sides ? kit::number("%.2f", low) + "\u00b0 low to " + kit::number("%.2f", high) + "\u00b0 high"
                                         : kit::number("%.2f", -read.window.left_deg) + "\u00b0 left to " + kit::number("%.2f", read.window.right_deg) + "\u00b0 right";
    const std::string none = full ? "too fast" : wait;
    // By which rule of the hole: the rim's mechanics or free fall.
    kit::row(session.reads.answer()->capture == CaptureModel::rim ? "Holed (rim) from" : "Holed (free fall) from", window ? directions : none);
    kit::row("and launched at", window ? (units == plugin::Units::metric ? kit::number("%.2f", read.window.slow_mps) : kit::number("%.1f", feet_from_metres(read.window.slow_mps))) + " to " + kit::speed(read.window.fast_mps, units) : none);
    kit::row("Missed, on this slope", read.past_on_slope_m ? kit::distance(*read.past_on_slope_m, units) + " past" : "does not stop");
}

// What a player with a given spread makes of it; the spread itself behind a fold.
void player_rows(Session& session, float scale) {
    const auto* chance = session.insight.chance();
    const bool open = ImGui::TreeNodeEx("##player", ImGuiTreeNodeFlags_NoTreePushOnOpen | ImGuiTreeNodeFlags_SpanAvailWidth, "Player holes");
    if (ImGui::IsItemHovered()) ImGui::SetTooltip("Chance to hole and strokes to expect of a player with this spread; open it to set the spread.");
    ImGui::SameLine();
    kit::row("", chance ? kit::number("%.0f", 100 * chance->hole.chance, "%") + ", " + kit::number("%.2f", chance->strokes.strokes, "strokes") : "\u2026");
    if (!open) return;
    kit::remark("One standard deviation of the player:");
    const auto figure = [&](const char* name, double& value, float low, float high, const char* format, double step) {
        float v = static_cast<float>(value);
        if (slider_row(name, &v, low, high, format, scale).moved) value = std::round(static_cast<double>(v) / step) * step;
    };
    figure("Start line", session.player.start_line_deg, 0.1f, 4, "%.1f\u00b0", 0.1);
    figure("Pace", session.player.pace_pct, 1, 20, "%.1f %%", 0.5);
    figure("Own read", session.player.read_deg, 0, 4, "%.1f\u00b0", 0.1);
}

}  // namespace

void draw_putt_panel(Session& session, float scale) {
    kit::heading("Putt");
    tool_buttons(session);
    speed_and_pace(session, scale);
    ImGui::Spacing();

    // The read, or why there is none.
    const auto& answer = session.reads.answer();
    if (!session.read_hidden().empty()) return kit::wrapped(session.read_hidden());
    if (!session.reads.refusal().empty()) kit::remark(session.reads.refusal());
    else if (!answer) kit::remark("Put the ball and the hole on the green to read the putt.");
    else if (answer->solutions.empty()) kit::remark(answer->why_none);
    else {
        read_rows(session, answer->solutions.front());
        player_rows(session, scale);
        if (answer->solutions.size() > 1)
            kit::remark(answer->solutions.size() == 2 ? "A faster way holes it too: the dash-dot line."
                                                      : "Faster ways hole it too: the dash-dot lines.");
    }
}

}  // namespace brae::app
