#include "plugins/green_setup/setup_panel.h"

#include "plugins/api/panel_kit.h"

#include <fmt/format.h>
#include <imgui_stdlib.h>
#include <utility>

namespace brae::green_setup {

namespace kit = plugin::kit;

namespace {

// One tape: the mark it starts at, and what it reads.
void draw_row(const char* id, const char* label, TapeRow& row, const std::vector<TapePoint>& known, bool may_be_empty, bool take_keyboard = false) {
    ImGui::PushID(id);
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("%s", label);
    const float em = ImGui::GetFontSize();
    ImGui::SameLine(5.2f * em);
    ImGui::SetNextItemWidth(0.5f * (ImGui::GetContentRegionAvail().x - ImGui::GetStyle().ItemSpacing.x));
    if (ImGui::BeginCombo("##mark", row.mark.empty() ? "\u2013" : row.mark.c_str())) {
        if (may_be_empty && ImGui::Selectable("\u2013", row.mark.empty())) row = {};
        for (const TapePoint& m : known)
            if (ImGui::Selectable(m.name.c_str(), m.name == row.mark)) row.mark = m.name;
        ImGui::EndCombo();
    }
    ImGui::SameLine();
    ImGui::SetNextItemWidth(-1);
    ImGui::BeginDisabled(row.mark.empty());
    if (take_keyboard) ImGui::SetKeyboardFocusHere();
    ImGui::InputTextWithHint("##reading", "distance", &row.reading, ImGuiInputTextFlags_AutoSelectAll);
    ImGui::EndDisabled();
    ImGui::PopID();
}

}  // namespace

void draw_locate_part(SetupModel& model) {
    LocateModel& locate = model.locate;
    locate.keep_marks_sound();
    const bool metric = model.now().units == plugin::Units::metric;
    kit::heading("Tape a hole or a ball");
    const auto known = locate.marks();
    if (known.size() >= 2) {
        kit::remark(metric ? "Distances in metres, the tape held level." : "Distances in feet, or as 21' 3\", the tape held level.");
        draw_row("t0", "First", locate.tapes()[0], known, false, std::exchange(locate.want_keyboard, false));
        draw_row("t1", "Second", locate.tapes()[1], known, false);
        draw_row("c0", "Check", locate.checks()[0], known, true);
        draw_row("c1", "Check", locate.checks()[1], known, true);

        // Which of the two places.
        if (!locate.tapes()[0].mark.empty() && !locate.tapes()[1].mark.empty() && locate.tapes()[0].mark != locate.tapes()[1].mark) {
            kit::remark(fmt::format("Seen from {} toward {} it is", locate.tapes()[0].mark, locate.tapes()[1].mark));
            if (ImGui::RadioButton("left", locate.side() == TapeSide::left)) locate.set_side(TapeSide::left);
            ImGui::SameLine();
            if (ImGui::RadioButton("right", locate.side() == TapeSide::right)) locate.set_side(TapeSide::right);
            ImGui::SameLine();
            if (ImGui::RadioButton("not told", !locate.side())) locate.set_side(std::nullopt);
        }
        const float half = half_width();
        if (ImGui::Button("Best marks here", {half, 0})) locate.best_pair();
        ImGui::SameLine();
        if (ImGui::Button("Clear", {half, 0})) locate.clear_readings();
    }

    // What comes of it.
    const Located& here = locate.located();
    kit::heading("The place");
    if (here.fix) {
        kit::row("At, local metres", fmt::format("{:.2f}, {:.2f}", here.fix->p.x, here.fix->p.y));
        const Vec2 map = model.now().green->terrain->frame.to_map(here.fix->p);
        kit::row("In the survey's system", fmt::format("{:.2f}, {:.2f}", map.x, map.y));
        kit::row("The tapes cross under", kit::number("%.0f\u00b0", here.fix->crossing_deg));
        const auto small = [&](double m) { return metric ? kit::number("%.1f", 100 * m, "cm") : kit::offset(m, plugin::Units::feet); };
        kit::row("Standard error", "\u00b1 " + small(here.fix->se_m));
        if (here.fix->residual_m) kit::row("Check is off by", small(*here.fix->residual_m));
    } else if (here.crossing_deg) {
        kit::row("The tapes cross under", kit::number("%.0f\u00b0", *here.crossing_deg));
    }
    if (!here.sentence.empty()) {
        if (here.refused) refusal(here.sentence);
        else kit::remark(kit::capital(here.sentence) + ".");
    }
    ImGui::BeginDisabled(!here.fix || here.outside_m);
    const float half = half_width();
    if (ImGui::Button("Hole is here", {half, 0})) locate.hole_is_here();
    ImGui::SameLine();
    if (ImGui::Button("Ball is here", {half, 0})) locate.ball_is_here();
    ImGui::EndDisabled();
    refusal(locate.message());
    kit::remark(fmt::format("Each tape is taken to be wrong by {}. Crossings under 30\u00b0 or over 150\u00b0 are refused, and checks that are off by more than {}. Key: K.",
                            metric ? "1 cm" : "0.4 in", metric ? "3 cm" : "1.2 in"));
}

}  // namespace brae::green_setup
