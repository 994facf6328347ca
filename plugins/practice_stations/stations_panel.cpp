#include "plugins/practice_stations/stations_panel.h"

#include "core/base/interval.h"
#include "core/plan/station_facts.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <cmath>

namespace brae::practice_stations {

namespace {

namespace kit = plugin::kit;

float half_width() { return 0.5f * (ImGui::GetContentRegionAvail().x - ImGui::GetStyle().ItemSpacing.x); }

const char* short_side(PuttSide side) {
    return side == PuttSide::straight ? "straight" : side == PuttSide::left_to_right ? "left to right" : "right to left";
}

void draw_lesson(StationsModel& model) {
    kit::heading("Lesson");
    ImGui::SetNextItemWidth(-1);
    if (ImGui::BeginCombo("##lesson", model.lesson().name.c_str())) {
        for (const LessonKind& kind : lesson_kinds())
            if (ImGui::Selectable(kind.name.c_str(), kind.name == model.lesson().name)) model.choose_lesson(kind.name);
        ImGui::Separator();
        if (const auto& own = model.own_lesson(); own && ImGui::Selectable((own->name + " (own)").c_str(), own->name == model.lesson().name)) model.choose_lesson(own->name);
        if (ImGui::Selectable("One of your own\u2026")) model.ask_own_lesson();
        ImGui::EndCombo();
    }
    kit::wrapped(model.lesson().teaches);
    kit::remark(model.lesson().wants);
}

void draw_plan(StationsModel& model) {
    // What the plan is for is set in the program: hole, speed, pace.
    const plugin::Snapshot& now = model.now();
    ImGui::Spacing();
    const auto holes = model.holes();
    const auto shown = std::find_if(holes.begin(), holes.end(), [](const auto& h) { return h.on_show; });
    if (holes.size() > 1) {
        ImGui::SetNextItemWidth(-1);
        if (ImGui::BeginCombo("##hole", shown == holes.end() ? "hole" : ("Hole: " + shown->name).c_str())) {
            for (const auto& h : holes) {
                ImGui::PushID(static_cast<int>(&h - holes.data()));
                if (ImGui::Selectable((h.name + (h.today ? ", today's" : "")).c_str(), h.on_show)) model.choose_hole(h.p);
                ImGui::PopID();
            }
            ImGui::EndCombo();
        }
    }
    // Another than today's is a flat disc unless the coach says that a hole is cut there.
    if (shown != holes.end() && !shown->today)
        if (bool cut = model.cut_here(); ImGui::Checkbox("A hole is cut here", &cut)) model.set_cut_here(cut);
    kit::row("Green speed", kit::number("%.1f", now.green_speed_ft, "ft"));
    if (model.lesson().name != "three-paces") kit::row("Pace past the hole", kit::offset(now.past_m, now.units));
    ImGui::Spacing();
    if (const auto done = model.planning()) {
        if (kit::work_bar(*done, "planning")) model.cancel();
    } else if (ImGui::Button("Plan stations for this hole", {-1, 0})) {
        model.plan();
    }
    if (!model.stations().empty()) ImGui::Checkbox("Add them to those that are there", &model.adds_to_list);
    if (!model.message().empty()) kit::wrapped(kit::capital(model.message()));
    if (const auto& aim = model.shared_aim()) {
        std::string labels;
        for (const std::string& l : aim->labels) labels += (labels.empty() ? "" : ", ") + l;
        kit::wrapped("Stations " + labels + " share one aim: one peg serves them.");
    }
    if (model.stale()) {
        kit::remark("These stations were made for another hole or green speed. Plan again before they are set out.");
        const bool slow = std::any_of(model.stations().begin(), model.stations().end(), [&](const PracticeStation& s) { return std::abs(s.green_speed_ft - now.green_speed_ft) > 1e-9; });
        if (slow && ImGui::Button(("Work them out at " + kit::number("%.1f", now.green_speed_ft, "ft")).c_str(), {-1, 0})) model.follow_speed();
    }
    if (model.following()) kit::remark("Working the stations out\u2026");
}

void draw_list(StationsModel& model) {
    kit::heading("Stations");
    if (model.stations().empty()) {
        kit::remark("None yet. Plan a lesson, or put the ball somewhere and add a station there.");
        return;
    }
    const plugin::Units units = model.now().units;
    if (!ImGui::BeginTable("stations", 4, ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_PadOuterX)) return;
    ImGui::TableSetupColumn("", ImGuiTableColumnFlags_WidthStretch, 0.5f);
    ImGui::TableSetupColumn("Distance", ImGuiTableColumnFlags_WidthStretch, 1.3f);
    ImGui::TableSetupColumn("Break", ImGuiTableColumnFlags_WidthStretch, 1.5f);
    ImGui::TableSetupColumn("Turns", ImGuiTableColumnFlags_WidthStretch, 1.6f);
    ImGui::TableHeadersRow();
    for (int k = 0; k < static_cast<int>(model.stations().size()); ++k) {
        const PracticeStation& s = model.stations()[k];
        ImGui::PushID(k);
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        if (ImGui::Selectable(s.label.c_str(), k == model.selected(), ImGuiSelectableFlags_SpanAllColumns)) model.select(k);
        ImGui::TableNextColumn();
        ImGui::TextUnformatted(kit::distance(s.distance_m, units).c_str());
        ImGui::TableNextColumn();
        // Tenths where the error is under a centimetre, so that it never reads as none.
        const double within = kZ90 * s.break_se_m;
        const char* metric = 100 * within < 0.95 ? "%.1f" : "%.0f";
        const std::string se = units == plugin::Units::metric ? kit::number(metric, 100 * within) : kit::number("%.1f", inches_from_metres(within));
        const std::string size = units == plugin::Units::metric ? kit::number(metric, 100 * s.break_m)
                                                               : kit::number("%.1f", inches_from_metres(s.break_m));
        ImGui::TextUnformatted((size + " \u00b1 " + se + (units == plugin::Units::metric ? " cm" : " in")).c_str());
        ImGui::TableNextColumn();
        ImGui::TextUnformatted(short_side(s.side));
        ImGui::PopID();
    }
    ImGui::EndTable();
    if (!model.stations().empty()) kit::remark("\u00b1 holds the truth in nine of ten cases.");
}

void draw_selected(StationsModel& model) {
    const int k = model.selected();
    if (k < 0) return;
    const PracticeStation& s = model.stations()[k];
    const plugin::Units units = model.now().units;
    kit::heading(("Station " + s.label).c_str());
    if (!s.note.empty()) kit::wrapped(kit::capital(s.note) + ".");

    // Where the marker goes, then how the putt runs.
    const bool inside = s.break_m < kHoleRadius;
    kit::row("Aim from the hole's centre",
             s.side == PuttSide::straight ? "straight" : kit::offset(s.break_m, units) + (s.aim_offset_m > 0 ? " right" : " left"));
    if (!inside) {
        kit::row("from the hole's edge", kit::offset(s.break_m - kHoleRadius, units));
        const BreakWidths widths = break_widths(s);
        kit::row("hole widths, from edge", kit::number("%.1f", widths.holes) + ", " + kit::number("%.1f", widths.edge_holes));
        kit::row("ball widths, from edge", kit::number("%.1f", widths.balls) + ", " + kit::number("%.1f", widths.edge_balls));
    }
    const auto known = [&](double metres) { return std::isnan(metres) ? std::string("no line") : kit::offset(metres, units); };
    kit::row("Half a foot slower / faster", known(s.break_slower_m) + " / " + known(s.break_faster_m));
    kit::row("Slope of the line", kit::number("%.1f", std::abs(s.slope_along_pct), "%") + (s.slope_along_pct >= 0 ? " up" : " down"));
    kit::row("Pace past the hole", kit::offset(s.past_m, units));
    kit::row("Ball speed off the face", kit::speed(s.ball_speed_mps, units));
    kit::row("Start line that holes", kit::number("%.1f\u00b0", s.window.left_deg) + " to " + kit::number("%+.1f\u00b0", s.window.right_deg));

    const StartGate gate = start_gate(s);
    kit::row(("Gate, " + kit::distance(gate.ahead_m, units) + " on").c_str(),
             (units == plugin::Units::metric ? kit::number("%.0f", 1000 * gate.width_m, "mm") : kit::offset(gate.width_m, units)) + " wide");
    const SlipEffect slip = slip_effect(s);
    kit::row(units == plugin::Units::metric ? "A slip of 2 cm turns it by" : "A slip of 0.8 in turns it by",
             kit::number("%.1f\u00b0", std::max(slip.marker_deg, slip.ball_deg)) + (slip.still_holes ? ", still holes" : ", may miss"));
    const MarkerClearance clear = marker_clearance(s);
    if (!inside && !clear.path) kit::wrapped("The peg stands in the ball's way: use a flat coin, or a gate.");
    if (!inside && !clear.stance) kit::wrapped("The peg stands where the player's feet go: move the ball's spot.");

    // Setting it out by tape.
    ImGui::Spacing();
    kit::remark("Ball by tape");
    kit::wrapped(tape_text(s.tape_ball, units));
    if (!inside) {
        kit::remark("Marker by tape");
        kit::wrapped(tape_text(s.tape_marker, units));
    }

    ImGui::Spacing();
    // The hole that it is putted at, where the green has several.
    if (const auto holes = model.holes(); holes.size() > 1) {
        ImGui::SetNextItemWidth(-1);
        if (ImGui::BeginCombo("##its_hole", "Putt at another hole")) {
            for (const auto& h : holes) {
                ImGui::PushID(static_cast<int>(&h - holes.data()));
                if (ImGui::Selectable(h.name.c_str(), distance(h.p, s.hole) < 0.005)) model.set_hole_of(k, h.p);
                ImGui::PopID();
            }
            ImGui::EndCombo();
        }
    }
    if (ImGui::Button("Show this putt", {-1, 0})) model.show_putt(k);
    const float half = half_width();
    if (ImGui::Button("Move\u2026", {half, 0})) model.move(k);
    ImGui::SameLine();
    if (ImGui::Button("Remove", {half, 0})) model.remove(k);
}

// The breaks at the speed that the player knows go on sheet and card.
void draw_usual_speed(StationsModel& model) {
    bool told = model.usual_speed_ft().has_value();
    if (ImGui::Checkbox("Print the usual speed's break too", &told))
        model.set_usual_speed(told ? std::optional(8.5) : std::nullopt);
    if (!model.usual_speed_ft()) return;
    float feet = static_cast<float>(*model.usual_speed_ft());
    ImGui::SetNextItemWidth(-1);
    if (ImGui::SliderFloat("##usual", &feet, static_cast<float>(kSlowestGreenFt), static_cast<float>(kFastestGreenFt), "%.1f ft"))
        model.set_usual_speed(std::round(10 * feet) / 10);
}

void draw_outcome(StationsModel& model) {
    ImGui::Spacing();
    if (model.now().ball && ImGui::Button("Add a station at the ball", {-1, 0})) model.add_at_ball();
    if (model.stations().empty()) return;
    const float half = half_width();
    if (ImGui::Button("Keep with the green\u2026", {half, 0})) model.keep();
    ImGui::SameLine();
    if (ImGui::Button("Clear the list", {half, 0})) model.clear();
    ImGui::SetNextItemWidth(half);
    const bool letter = model.paper() == Paper::letter;
    if (ImGui::BeginCombo("##paper", letter ? "Letter" : "A4")) {
        if (ImGui::Selectable("A4", !letter)) model.set_paper(Paper::a4);
        if (ImGui::Selectable("Letter", letter)) model.set_paper(Paper::letter);
        ImGui::EndCombo();
    }
    ImGui::SameLine();
    if (ImGui::Button("Setting-out sheet\u2026", {half, 0})) model.ask_sheet();
    if (ImGui::Button("Pocket card\u2026", {half, 0})) model.ask_card();
    ImGui::SameLine();
    if (ImGui::Button("Lesson card\u2026", {half, 0})) model.ask_lesson_card();
    if (ImGui::Button("Points for a rover\u2026", {-1, 0})) model.ask_points();
    draw_usual_speed(model);
}

void draw_cautions() {
    kit::heading("Before you set out");
    for (const char* text :
         {"Ask the greenkeeper first. Pegs, coins and strings trip people and damage mowers: count them out and count them in.",
          "No string across a line where people walk. Watch for balls in play, and leave the green in lightning.",
          "Move the ball's spot after about 20 putts.",
          "For practice only. Markers and printed lines are not for use in a round; the Rules of Golf and the committee's local "
          "rules decide."})
        kit::remark(text);
}

}  // namespace

void draw_stations_panel(StationsModel& model) {
    if (!model.now().green) {
        kit::remark("Open a green to plan practice stations on it.");
        return;
    }
    draw_lesson(model);
    if (model.has_hole())
        draw_plan(model);
    else
        kit::remark("Put the hole on the green first.");
    draw_list(model);
    draw_selected(model);
    draw_outcome(model);
    draw_cautions();
}

}  // namespace brae::practice_stations
