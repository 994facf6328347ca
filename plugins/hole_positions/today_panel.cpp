// Today: speed and profile, three ranked places and more, why and why not, the map, what speed changes, the limits.
#include "plugins/hole_positions/holes_panel.h"

#include "core/base/units.h"
#include "core/plan/hole_settings.h"
#include "core/record/green_zones.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <fmt/format.h>

namespace brae::hole_positions {

namespace {

namespace kit = plugin::kit;

constexpr int kShownFirst = 3;
constexpr std::size_t kZonesShown = 3;

void draw_find(HolesModel& model) {
    const Green& green = *model.now().green;
    kit::row("Green speed", kit::number("%.1f", model.now().green_speed_ft, "ft"));
    if (green.speeds.empty()) kit::remark("No reading is kept with this green: the speed is the one set in the program. Measure it, or set it under Putt.");
    if (green.terrain->outline.source() == OutlineSource::data_boundary)
        kit::remark("No edge is drawn or surveyed: the end of the data stands for it, and distances are from there. Draw the edge under Set up.");
    text_field("Day", model.date, "2026-05-02");
    if (!model.date_good()) kit::remark("A day such as 2026-05-02 is wanted.");
    else if (const std::string reason = skipped_on(green, model.date); !reason.empty()) kit::remark(fmt::format("No hole is cut on this day: {}. The one before stays.", reason));
    ImGui::SetNextItemWidth(-1);
    const std::string profile = "Limits: " + model.profile();
    if (ImGui::BeginCombo("##profile", profile.c_str())) {
        for (const std::string& name : hole_profile_names())
            if (ImGui::Selectable(name.c_str(), name == model.profile())) model.set_profile(name);
        ImGui::EndCombo();
    }
    if (const auto done = model.finding()) {
        if (kit::work_bar(*done, "judging")) model.cancel();
    } else if (ImGui::Button("Find fair positions", {-1, 0})) {
        model.find();
    }
    draw_sentence(model.message());
}

// The ground that people have closed on this day, by name; where there is no place, all of it.
void draw_closed(HolesModel& model, bool all) {
    const auto zones = model.closed();
    const std::size_t shown = all ? zones.size() : std::min<std::size_t>(zones.size(), kZonesShown);
    for (std::size_t k = 0; k < shown; ++k) kit::remark("No hole in the " + zone_words(*zones[k]) + ".");
    if (shown < zones.size()) kit::remark(fmt::format("Nor in {} zones more; they are drawn on the green.", zones.size() - shown));
}

std::string area_text(double m2, bool feet) { return feet ? fmt::format("{:.0f} ft\u00b2", m2 / (kFoot * kFoot)) : fmt::format("{:.0f} m\u00b2", m2); }

void draw_list(HolesModel& model) {
    const Found* found = model.found();
    if (!found) return;
    kit::heading("Positions");
    if (model.stale()) kit::remark("Found for another day, speed, limits or state of the green. Look again before a hole is cut.");
    draw_sentence(found->why_none);
    if (found->best.empty()) draw_closed(model, true);
    for (const std::string& w : found->bench->question.warnings) kit::remark(kit::capital(w) + ".");
    if (!found->best.empty())
        kit::remark(fmt::format("{} of {} places are fair at {:.1f} ft: {}.", found->judged.fair, found->judged.places.size(), found->judged.green_speed_ft,
                                area_text(found->judged.fair_area_m2, model.now().units == plugin::Units::feet)));

    // Rank, place by the line of play, slope; three first, the rest below.
    for (int k = 0; k < static_cast<int>(found->best.size()); ++k) {
        const HolePosition& h = found->best[static_cast<std::size_t>(k)];
        if (k == kShownFirst) kit::remark("And further");
        ImGui::PushID(k);
        if (ImGui::Selectable(fmt::format("{}   {}", k + 1, model.where(h.p)).c_str(), k == model.selected())) model.select(k);
        ImGui::PopID();
        if (k < kShownFirst || k == model.selected()) kit::remark(kit::capital(h.why));
    }
    if (!found->best.empty()) draw_closed(model, false);
    if (const int k = model.selected(); k >= 0) {
        const float half = half_width();
        if (ImGui::Button("Look at it", {half, 0})) model.put_hole(k);
        ImGui::SameLine();
        if (ImGui::Button("Today's hole\u2026", {half, 0})) model.make_selected_todays();
    }
    if (found->ramp) {
        kit::heading("Where to measure the speed");
        draw_sentence(found->ramp->sentence);
    }
    const float half = half_width();
    ImGui::SetNextItemWidth(half);
    const bool letter = model.paper() == Paper::letter;
    if (ImGui::BeginCombo("##paper", letter ? "Letter" : "A4")) {
        if (ImGui::Selectable("A4", !letter)) model.set_paper(Paper::a4);
        if (ImGui::Selectable("Letter", letter)) model.set_paper(Paper::letter);
        ImGui::EndCombo();
    }
    ImGui::SameLine();
    ImGui::BeginDisabled(found->best.empty());
    if (ImGui::Button("Sheet\u2026", {half, 0})) model.ask_sheet();
    ImGui::EndDisabled();
}

void draw_why(HolesModel& model) {
    kit::heading("Why, why not");
    if (ImGui::RadioButton("the hole", !model.judge_cursor())) model.set_judge_cursor(false);
    ImGui::SameLine();
    if (ImGui::RadioButton("under the mouse", model.judge_cursor())) model.set_judge_cursor(true);
    if (model.trial()) {
        const float half = half_width();
        if (ImGui::Button("Make it today's\u2026", {half, 0})) model.make_todays(*model.trial());
        ImGui::SameLine();
        if (ImGui::Button("Leave it", {half, 0})) model.drop_trial();
    } else if (ImGui::Button("Move a hole and look", {-1, 0})) {
        model.move_hole();
    }
    if (!model.place()) {
        kit::remark(model.judge_cursor() ? "Move the mouse over the green." : "Put the hole on the green.");
        return;
    }
    const HolePosition* h = model.judged();
    kit::row("Place", model.where(*model.place()));
    if (!h) {
        kit::remark("Balls are rolled\u2026");
        return;
    }
    // The verdict in words, then each criterion; a failing one is marked by word, not by colour.
    kit::wrapped(h->fair ? "Fair by every limit." : "Not fair:");
    for (const bool passing : {false, true})
        for (const Criterion& c : h->criteria) {
            if (c.pass != passing) continue;
            ImGui::Bullet();
            if (c.pass) kit::remark(c.name + ": " + c.sentence);
            else kit::wrapped(c.name + " fails: " + c.sentence);
        }
    if (const FairUntil* until = model.until(); until && until->fair_now)
        kit::remark(until->criterion.empty() ? fmt::format("This hole is fair up to at least {:.0f} ft, the fastest green that is worked out.", until->speed_ft)
                                             : fmt::format("This hole is fair up to {:.1f} ft; beyond, {}.", until->speed_ft, until->sentence));
}

void draw_map_choice(HolesModel& model) {
    kit::heading("Map");
    ImGui::SetNextItemWidth(-1);
    const std::string shown = model.map().empty() ? "none" : model.map() == "margin" ? "fair area" : model.map();
    if (ImGui::BeginCombo("##map", shown.c_str())) {
        if (ImGui::Selectable("none", model.map().empty())) model.set_map("");
        if (ImGui::Selectable("fair area", model.map() == "margin")) model.set_map("margin");
        for (const HoleCriterionName& n : hole_criterion_names())
            if (ImGui::Selectable(n.name, model.map() == n.name)) model.set_map(n.name);
        ImGui::EndCombo();
    }
    const auto& names = hole_criterion_names();
    const auto criterion = std::find_if(names.begin(), names.end(), [&](const HoleCriterionName& n) { return model.map() == n.name; });
    if (criterion != names.end()) kit::remark(criterion->source);
    if (!model.found()) {
        kit::remark("Maps come with the search.");
    } else if (criterion != names.end() && criterion->by_motion && model.found()->judged.scope == HoleScope::only_possible) {
        kit::remark("Balls were rolled only where the ground alone rules nothing out; elsewhere the map is bare.");
        ImGui::BeginDisabled(model.finding().has_value());
        if (ImGui::Button("Roll them everywhere", {-1, 0})) model.find_every_place();
        ImGui::EndDisabled();
    }

    // How the fair area shrinks as the green quickens: a bar of one ink for each speed.
    kit::heading("Other green speeds");
    if (model.comparing()) ImGui::ProgressBar(static_cast<float>(*model.comparing()), {-1, 0}, "judging at 8 to 13 ft");
    else if (ImGui::Button("Fair area by green speed", {-1, 0})) model.compare_speeds();
    if (model.by_speed().empty()) return;
    if (model.by_speed_stale()) kit::remark("Of another day, green or other limits.");
    double most = 1;
    for (const auto& row : model.by_speed()) most = std::max(most, row.area_m2);
    ImGui::PushStyleColor(ImGuiCol_PlotHistogram, ImGui::GetStyleColorVec4(ImGuiCol_SliderGrab));
    for (const auto& row : model.by_speed()) {
        ImGui::PushFont(kit::number_font());
        ImGui::Text("%4.0f ft", row.green_speed_ft);
        ImGui::PopFont();
        ImGui::SameLine();
        ImGui::ProgressBar(static_cast<float>(row.area_m2 / most), {-1, 0}, area_text(row.area_m2, model.now().units == plugin::Units::feet).c_str());
    }
    ImGui::PopStyleColor();
}

void draw_limits(HolesModel& model) {
    ImGui::Spacing();
    if (!ImGui::CollapsingHeader("Limits")) return;
    HoleLimits l = model.limits();
    bool changed = false;
    for (const HoleSetting& s : hole_settings()) {
        ImGui::TextUnformatted(kit::capital(s.what).c_str());
        ImGui::SetNextItemWidth(-1);
        double value = shown(l, s);
        ImGui::PushID(s.key);
        const std::string unit = std::string(s.unit) == "%" ? "%%" : s.unit;
        if (ImGui::InputDouble("##limit", &value, 0, 0, ("%.4g " + unit).c_str())) {
            l.*s.member = std::clamp(value, s.low, s.high) * s.scale;
            changed = true;
        }
        if (ImGui::IsItemHovered()) ImGui::SetTooltip("%g to %g. %s", s.low, s.high, s.source);
        ImGui::PopID();
    }
    if (changed) model.set_limits(l);
    if (ImGui::Button("Back to the everyday limits", {-1, 0})) model.set_profile("everyday");
}

}  // namespace

void draw_today_part(Parts& parts) {
    // While a hole is moved, or any place is asked about, its criteria stand where they are seen.
    const bool asking = parts.holes.trial() || parts.holes.judge_cursor();
    draw_find(parts.holes);
    if (asking) draw_why(parts.holes);
    draw_list(parts.holes);
    if (!asking) draw_why(parts.holes);
    draw_map_choice(parts.holes);
    draw_limits(parts.holes);
}

}  // namespace brae::hole_positions
