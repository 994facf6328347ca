// The player's putter: as measured before and after an adjustment, and what that does to face and skid.
#include "plugins/api/panel_kit.h"
#include "plugins/practice_stations/lesson_panel.h"

#include "core/base/units.h"

#include <cmath>
#include <fmt/format.h>

namespace brae::practice_stations {

namespace kit = plugin::kit;

namespace {

std::string figure(const std::optional<double>& value, const char* format, double by = 1) { return value ? kit::number(format, by * *value) : "\u2013"; }

// Label, before, after.
void row_of_two(const char* label, const std::string& before, const std::string& after) {
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::TextDisabled("%s", label);
    for (const std::string& text : {before, after}) {
        ImGui::TableNextColumn();
        ImGui::TextUnformatted(text.c_str());
    }
}

void draw_settings(const PutterEffect& e, plugin::Units units, const std::string& hand) {
    const bool metric = units == plugin::Units::metric;
    if (ImGui::BeginTable("putter", 3, ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_PadOuterX)) {
        ImGui::TableSetupColumn("", ImGuiTableColumnFlags_WidthStretch, 1.5f);
        ImGui::TableSetupColumn("Before", ImGuiTableColumnFlags_WidthStretch, 1);
        ImGui::TableSetupColumn("After", ImGuiTableColumnFlags_WidthStretch, 1);
        ImGui::TableHeadersRow();
        const auto both = [&](const char* label, std::optional<double> StoredPutter::*member, const char* format, double by = 1) {
            const auto of = [&](const std::optional<StoredPutter>& p) { return p ? figure((*p).*member, format, by) : std::string("\u2013"); };
            row_of_two(label, of(e.before), of(e.after));
        };
        both("Loft, \u00b0", &StoredPutter::loft_deg, "%.1f");
        both("Lie, \u00b0", &StoredPutter::lie_deg, "%.1f");
        both(metric ? "Length, cm" : "Length, in", &StoredPutter::length_m, "%.1f", metric ? 100 : 1 / kInch);
        const auto sight = [](const std::optional<StoredPutter>& p) { return p && !p->sight_line.empty() ? p->sight_line : std::string("\u2013"); };
        row_of_two("Sight line", sight(e.before), sight(e.after));
        if (e.loft_before || e.loft_after) {
            const auto told = [&](const char* label, double LoftEffect::*member, const char* format, double by = 1) {
                const auto one = [&](const std::optional<LoftEffect>& l) { return l ? kit::number(format, by * (*l).*member) : std::string("\u2013"); };
                row_of_two(label, one(e.loft_before), one(e.loft_after));
            };
            told("Leaves at, \u00b0", &LoftEffect::launch_angle_deg, "%.1f");
            told(metric ? "Jumps, mm" : "Jumps, in", &LoftEffect::jump_height_m, metric ? "%.1f" : "%.2f", metric ? 1000 : 1 / kInch);
            told(metric ? "Skids, cm" : "Skids, in", &LoftEffect::skid_length_m, "%.0f", metric ? 100 : 1 / kInch);
        }
        ImGui::EndTable();
    }
    if (e.loft_before || e.loft_after)
        kit::remark(fmt::format("A level putt of {} at the usual pace, the loft taken as that at impact; hands ahead of the ball take some of it away.", kit::distance(kPutterPuttM, units)));
    if (!e.face_turn_deg) return;
    if (std::abs(*e.lie_change_deg) < 0.05) return kit::wrapped("The lie is the same: it does not turn the face.");
    const bool heel = *e.face_turn_deg > 0, left_hand = hand == "left";
    const std::string side = hand.empty() ? fmt::format("the {} side", heel ? "heel" : "toe") : heel != left_hand ? "the left" : "the right";
    kit::wrapped(fmt::format("The lie is {:.1f}\u00b0 {}: held as before, it turns the face {:.2f}\u00b0 to {}, {} at the hole.", std::abs(*e.lie_change_deg), *e.lie_change_deg > 0 ? "more upright" : "flatter",
                             std::abs(*e.face_turn_deg), side, units == plugin::Units::metric ? kit::number("%.1f", 100 * std::abs(*e.face_turn_m), "cm") : kit::offset(std::abs(*e.face_turn_m), units)));
}

}  // namespace

void draw_putter(LessonModel& model, plugin::Units units) {
    const std::size_t n = model.putters().size();
    if (!ImGui::CollapsingHeader(n == 0 ? "Putter: not measured yet###putter" : "Putter###putter")) return;
    if (const PutterEffect* e = model.putter()) draw_settings(*e, units, model.player()->hand);
    else if (n > 0) kit::remark("Working out what loft and lie do\u2026");
    else kit::remark("As measured before an adjustment and after it. Leave out what was not measured.");
    PutterForm& f = model.putter_form;
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Adjustment");
    ImGui::SameLine(8.2f * ImGui::GetFontSize());
    for (const char* when : {"before", "after"}) {
        if (*when == 'a') ImGui::SameLine();
        if (ImGui::RadioButton(when, f.when == when)) f.when = when;
    }
    bool enter = form_row("Loft, \u00b0", f.loft, "of the face");
    enter = form_row("Lie, \u00b0", f.lie, "shaft to ground") || enter;
    enter = form_row(units == plugin::Units::metric ? "Length, cm" : "Length, in", f.length, "heel to grip's end") || enter;
    enter = form_row("Sight line", f.sight_line, "in words") || enter;
    if (ImGui::Button("Keep this setting", {-1, 0}) || enter) model.add_putter();
}

}  // namespace brae::practice_stations
