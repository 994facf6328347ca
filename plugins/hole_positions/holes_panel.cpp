#include "plugins/hole_positions/holes_panel.h"

#include "core/base/constants.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <fmt/format.h>

namespace brae::hole_positions {

namespace {

namespace kit = plugin::kit;

float half_width() { return 0.5f * (ImGui::GetContentRegionAvail().x - ImGui::GetStyle().ItemSpacing.x); }

void draw_find(HolesModel& model) {
    kit::row("Green speed", kit::number("%.1f", model.now().green_speed_ft, "ft"));
    ImGui::SetNextItemWidth(-1);
    int days = model.days();
    if (ImGui::SliderInt("##days", &days, 0, 14, days == 0 ? "for today" : days == 1 ? "for 1 day" : "for %d days"))
        model.set_days(days);
    if (model.days() > 0) {
        char date[16];
        std::snprintf(date, sizeof date, "%s", model.first_date().c_str());
        ImGui::TextUnformatted("First day");
        ImGui::SameLine();
        ImGui::SetNextItemWidth(-1);
        if (ImGui::InputText("##date", date, sizeof date)) model.first_date() = date;
        if (!model.first_date_good()) kit::remark("A date such as 2026-05-02 is wanted; without one the holes are kept undated.");
    }
    if (const auto done = model.planning()) {
        ImGui::ProgressBar(static_cast<float>(*done), {ImGui::GetContentRegionAvail().x * 0.7f, 0}, "looking");
        ImGui::SameLine();
        if (ImGui::Button("Cancel", {-1, 0})) model.cancel();
    } else if (ImGui::Button("Find fair positions", {-1, 0})) {
        model.plan();
    }
    if (!model.message().empty()) kit::wrapped(kit::capital(model.message()));
}

void draw_list(HolesModel& model) {
    if (!model.has_plan()) return;
    const HolePlan& plan = model.plan_made();
    kit::heading("Positions");
    if (model.stale()) kit::remark("Found for another green, speed or other limits. Look again before a hole is cut.");
    if (!plan.why_none.empty()) kit::wrapped(kit::capital(plan.why_none) + ".");
    if (plan.positions.empty()) return;
    kit::remark(fmt::format("{} of {} places are fair at {:.1f} ft: {:.0f} m\u00b2.", plan.fair, plan.candidates, model.planned_speed(),
                            plan.fair_area_m2));

    // The list: rank or day, slope, edge; the line below says why.
    const bool by_day = !plan.positions.front().day.empty();
    if (ImGui::BeginTable("positions", 4, ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_PadOuterX)) {
        ImGui::TableSetupColumn(by_day ? "Day" : "Rank", ImGuiTableColumnFlags_WidthStretch, 0.8f);
        ImGui::TableSetupColumn("Slope", ImGuiTableColumnFlags_WidthStretch, 1.0f);
        ImGui::TableSetupColumn("Edge", ImGuiTableColumnFlags_WidthStretch, 1.2f);
        ImGui::TableSetupColumn("Score", ImGuiTableColumnFlags_WidthStretch, 1.0f);
        ImGui::TableHeadersRow();
        for (int k = 0; k < static_cast<int>(plan.positions.size()); ++k) {
            const HolePosition& h = plan.positions[k];
            ImGui::PushID(k);
            ImGui::TableNextRow();
            ImGui::TableNextColumn();
            if (ImGui::Selectable(by_day ? h.day.c_str() : std::to_string(k + 1).c_str(), k == model.selected(),
                                  ImGuiSelectableFlags_SpanAllColumns))
                model.select(k);
            ImGui::TableNextColumn();
            ImGui::TextUnformatted(kit::slope(h.slope).c_str());
            ImGui::TableNextColumn();
            ImGui::TextUnformatted(kit::distance(h.edge_m, model.now().units).c_str());
            ImGui::TableNextColumn();
            ImGui::TextUnformatted(kit::number("%.2f", h.score).c_str());
            ImGui::PopID();
        }
        ImGui::EndTable();
    }
    if (const int k = model.selected(); k >= 0) {
        kit::wrapped(kit::capital(plan.positions[k].why));
        const float half = half_width();
        if (ImGui::Button("Look at it", {half, 0})) model.put_hole(k);
        ImGui::SameLine();
        if (ImGui::Button("Today's hole\u2026", {half, 0})) model.accept(k);
    }
    if (by_day && ImGui::Button("Keep the plan\u2026", {-1, 0})) model.accept_plan();
    const float half = half_width();
    ImGui::SetNextItemWidth(half);
    const bool letter = model.paper() == Paper::letter;
    if (ImGui::BeginCombo("##paper", letter ? "Letter" : "A4")) {
        if (ImGui::Selectable("A4", !letter)) model.set_paper(Paper::a4);
        if (ImGui::Selectable("Letter", letter)) model.set_paper(Paper::letter);
        ImGui::EndCombo();
    }
    ImGui::SameLine();
    if (ImGui::Button("Sheet\u2026", {half, 0})) model.ask_sheet();
}

void draw_why(HolesModel& model) {
    kit::heading("Why, why not");
    if (ImGui::RadioButton("the hole", !model.judge_cursor())) model.set_judge_cursor(false);
    ImGui::SameLine();
    if (ImGui::RadioButton("under the mouse", model.judge_cursor())) model.set_judge_cursor(true);
    const HolePosition* h = model.judged();
    if (!h) {
        kit::remark(model.judge_cursor() ? "Move the mouse over the green." : "Put the hole on the green.");
        return;
    }
    // The verdict in words, then each criterion; a failing one is marked by word, not by colour.
    kit::wrapped(h->fair ? "Fair by every limit." : "Not fair:");
    for (const Criterion& c : h->criteria) {
        ImGui::Bullet();
        if (c.pass) {
            kit::remark(c.sentence);
        } else {
            kit::wrapped(c.name + " fails: " + c.sentence);
        }
    }
    if (!model.judge_cursor() && h->edge_m > 0) {
        const auto fastest = model.fastest_for_hole();
        kit::remark(!fastest ? std::string("No green speed makes this hole fair.")
                    : *fastest >= kFastestGreenFt
                        ? fmt::format("This hole is fair at every green speed that is computed, up to {:.0f} ft.", kFastestGreenFt)
                        : fmt::format("This hole is fair up to a green speed of {:.1f} ft.", *fastest));
    }
}

void draw_map_choice(HolesModel& model) {
    kit::heading("Map");
    static const char* names[] = {"none", "fair area", "slope", "change of slope", "distance to the edge", "running past"};
    ImGui::SetNextItemWidth(-1);
    const int shown = static_cast<int>(model.map());
    if (ImGui::BeginCombo("##map", names[shown])) {
        for (int k = 0; k < 6; ++k)
            if (ImGui::Selectable(names[k], k == shown)) model.set_map(static_cast<MapKind>(k));
        ImGui::EndCombo();
    }
    if (model.by_speed().empty()) return;
    // How the fair area shrinks as the green quickens: a bar of one ink for each speed.
    kit::remark("Fair area by green speed");
    double most = 1;
    for (const auto& row : model.by_speed()) most = std::max(most, row.area_m2);
    ImGui::PushStyleColor(ImGuiCol_PlotHistogram, ImGui::GetStyleColorVec4(ImGuiCol_SliderGrab));
    for (const auto& row : model.by_speed()) {
        ImGui::PushFont(kit::number_font());
        ImGui::Text("%4.0f ft", row.speed_ft);
        ImGui::PopFont();
        ImGui::SameLine();
        const bool feet = model.now().units == plugin::Units::feet;
        ImGui::ProgressBar(static_cast<float>(row.area_m2 / most), {-1, 0},
                           (feet ? fmt::format("{:.0f} ft\u00b2", row.area_m2 / (kFoot * kFoot)) : fmt::format("{:.0f} m\u00b2", row.area_m2)).c_str());
    }
    ImGui::PopStyleColor();
}

// One limit: its name above, the number and unit below at full width.
bool limit_input(const char* label, double& value, double factor, double step, const char* format) {
    ImGui::TextUnformatted(label);
    ImGui::SetNextItemWidth(-1);
    double shown = value * factor;
    ImGui::PushID(label);
    const bool changed = ImGui::InputDouble("##limit", &shown, step, 0, format);
    ImGui::PopID();
    if (changed) value = shown / factor;
    return changed;
}

void draw_limits(HolesModel& model) {
    ImGui::Spacing();
    if (!ImGui::CollapsingHeader("Limits")) return;
    HoleLimits l = model.limits();
    bool changed = limit_input("From the edge, at least", l.edge_m, 1 / kPace, 1, "%.1f paces");
    changed = limit_input("Slope, at most", l.slope_ceiling, 100, 0.5, "%.1f %%") || changed;
    changed = limit_input("and slope times green speed", l.slope_times_speed, 100, 5, "%.0f %% ft") || changed;
    changed = limit_input("Change of slope, at most", l.slope_change, 100, 0.1, "%.1f %%") || changed;
    changed = limit_input("within", l.radius_m, 1 / kFoot, 0.5, "%.1f ft of the hole") || changed;
    changed = limit_input("A putt that just reaches it stops within", l.run_past_m, 1 / kFoot, 0.5, "%.1f ft") || changed;
    const bool feet = model.now().units == plugin::Units::feet;
    const double unit = feet ? 1 / kFoot : 1;
    changed = limit_input("From the holes of the week, at least", l.apart_m, unit, feet ? 1 : 0.5, feet ? "%.1f ft" : "%.1f m") || changed;
    changed = limit_input("Candidates every", l.spacing_m, unit, feet ? 1 : 0.25, feet ? "%.1f ft" : "%.2f m") || changed;
    if (ImGui::Button("Back to the everyday limits", {-1, 0})) {
        l = HoleLimits{};
        changed = true;
    }
    if (changed) model.set_limits(l);
    kit::remark("Four paces from the edge and three feet of uniform ground: Lemons, Green Section Record, 2008. Stopping within two "
                "feet: Green Section Record, 1981. Slope up to 3 % and 30/S %: common practice.");
}

void draw_cautions() {
    kit::heading("Before a hole is cut");
    for (const char* text :
         {"The greenkeeper decides, by the committee's conditions and local rules; the survey does not see scars, wet patches or disease.",
          "No change on frozen or waterlogged ground. Keep people off treated turf until the label's re-entry time.",
          "Lift with the legs, keep fingers clear of the cutter, and let play stop before you work and work stop before they play."})
        kit::remark(text);
}

}  // namespace

void draw_holes_panel(HolesModel& model) {
    if (!model.now().green) {
        kit::remark("Open a green to find hole positions on it.");
        return;
    }
    model.mark_front();
    draw_find(model);
    draw_list(model);
    draw_why(model);
    draw_map_choice(model);
    draw_limits(model);
    draw_cautions();
}

}  // namespace brae::hole_positions
