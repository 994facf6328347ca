// Before the putts: the lesson file, the player, the baseline, and the start.
#include "plugins/api/panel_kit.h"
#include "plugins/practice_stations/lesson_panel.h"

#include "core/base/units.h"

#include <fmt/format.h>
#include <imgui_stdlib.h>
#include <utility>

namespace brae::practice_stations {

namespace kit = plugin::kit;

namespace {

float half_width() { return 0.5f * (ImGui::GetContentRegionAvail().x - ImGui::GetStyle().ItemSpacing.x); }

void draw_file(LessonModel& model) {
    kit::heading("Lesson file");
    if (!model.has_file()) {
        kit::remark("Players, lessons and putts live in a lesson file of their own and nowhere else. It can be handed over and erased; the green's file holds no names.");
        const float half = half_width();
        if (ImGui::Button("Open one\u2026", {half, 0})) model.ask_open();
        ImGui::SameLine();
        if (ImGui::Button("Make one\u2026", {half, 0})) model.ask_new();
        return;
    }
    kit::row("File", model.file_name());
    const float half = half_width();
    if (ImGui::Button("Another\u2026", {half, 0})) model.ask_open();
    ImGui::SameLine();
    if (ImGui::Button("Close it", {half, 0})) model.close_file();
}

void draw_new_player(LessonModel& model) {
    kit::heading(model.players().empty() ? "First player" : "New player");
    PlayerForm& form = model.form;
    if (std::exchange(model.want_keyboard, false)) ImGui::SetKeyboardFocusHere();
    bool enter = form_row("Name or code", form.name, "a code for minors");
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Hand");
    ImGui::SameLine(8.2f * ImGui::GetFontSize());
    for (const char* hand : {"right", "left"}) {
        if (*hand == 'l') ImGui::SameLine();
        if (ImGui::RadioButton(hand, form.hand == hand)) form.hand = form.hand == hand ? "" : hand;
    }
    enter = form_row("Handicap", form.handicap, "a band such as 10-18") || enter;
    enter = form_row("Usual speed", form.usual_speed, "ft, where it is known") || enter;
    if (ImGui::Button("Add the player", {-1, 0}) || enter) model.add_player();
}

void draw_players(LessonModel& model) {
    kit::heading("Player");
    for (const StoredPlayer& p : model.players()) {
        ImGui::PushID(p.id.c_str());
        const std::string id = p.id;
        if (ImGui::Selectable(p.name.c_str())) {
            ImGui::PopID();
            model.choose_player(id);
            return;
        }
        ImGui::PopID();
    }
}

std::string mean_text(const BaselineMean& m, const char* format, const char* unit) {
    if (m.n == 0) return "\u2013";
    return kit::number(format, m.mean) + " " + unit + (m.n > 1 ? ", spread " + kit::number(format, m.sd) : "");
}

void draw_baseline(LessonModel& model) {
    const std::size_t n = model.baseline().size();
    if (!ImGui::CollapsingHeader(n == 0 ? "Baseline: none yet###baseline" : fmt::format("Baseline: {} putts###baseline", n).c_str())) return;
    kit::remark("Five to ten putts with the result hidden, as measured off the putter: degrees with right positive, strike towards the toe. Leave out what was not measured.");
    if (n > 0) {
        const BaselineSummary s = summarise(model.baseline());
        kit::row("Aim at address", mean_text(s.aim, "%.1f", "\u00b0"));
        kit::row("Face at impact", mean_text(s.face, "%.1f", "\u00b0"));
        kit::row("Path", mean_text(s.path, "%.1f", "\u00b0"));
        kit::row("Start line", mean_text(s.start, "%.1f", "\u00b0"));
        kit::row("Start less aim", mean_text(s.aim_to_start, "%.1f", "\u00b0"));
        kit::row("Strike", mean_text(s.strike, "%.0f", "mm"));
        kit::row("Ball speed", mean_text(s.ball_speed, "%.2f", "m/s"));
    }
    BaselineForm& f = model.baseline_form;
    bool enter = form_row("Aim, \u00b0", f.aim, "face at address");
    enter = form_row("Face, \u00b0", f.face, "at impact") || enter;
    enter = form_row("Path, \u00b0", f.path, "of the head") || enter;
    enter = form_row("Start line, \u00b0", f.start, "of the ball") || enter;
    enter = form_row("Strike, mm", f.strike, "towards the toe") || enter;
    enter = form_row("Speed, m/s", f.speed, "off the face") || enter;
    const float half = half_width();
    if (ImGui::Button("Keep this putt", {half, 0}) || enter) model.add_baseline();
    ImGui::SameLine();
    if (ImGui::Button("From a table\u2026", {half, 0})) model.ask_baseline();
}

void draw_player(Coach& coach) {
    LessonModel& model = coach.lesson;
    const StoredPlayer& p = *model.player();
    kit::heading(p.name.c_str());
    if (!p.hand.empty()) kit::row("Hand", p.hand);
    if (!p.handicap.empty()) kit::row("Handicap", p.handicap);
    if (p.usual_speed_ft) kit::row("Usual green speed", kit::number("%.1f", *p.usual_speed_ft, "ft"));
    if (p.usual_speed_ft && coach.stations.usual_speed_ft() != p.usual_speed_ft && ImGui::Button("Print its breaks on the sheet", {-1, 0}))
        coach.stations.set_usual_speed(p.usual_speed_ft);
    draw_baseline(model);
    draw_putter(model, coach.stations.now().units);

    // A new lesson, or one that is there.
    kit::heading("Lesson");
    const std::string why = model.why_no_start(coach.stations.stations().size());
    if (!why.empty()) kit::wrapped(why);
    ImGui::BeginDisabled(!why.empty() || coach.stations.stale());
    const std::size_t count = coach.stations.stations().size();
    if (ImGui::Button(why.empty() ? fmt::format("Start a lesson at {} {}###start", count, count == 1 ? "station" : "stations").c_str() : "Start a lesson###start", {-1, 0})) {
        model.start(coach.stations.stations());
        ImGui::EndDisabled();
        return;
    }
    ImGui::EndDisabled();
    if (why.empty() && coach.stations.stale()) kit::remark("The stations were made for another hole or green speed: plan them again first, or work them out anew under Plan.");
    if (!model.lessons().empty()) kit::remark("Or go on with one on this green:");
    for (std::size_t k = model.lessons().size(); k-- > 0;) {
        const StoredLesson& l = model.lessons()[k];
        const std::string id = l.id;
        ImGui::PushID(id.c_str());
        const std::string words = fmt::format("{}, {} {}, {:.1f} ft", l.date.empty() ? "a lesson without a date" : l.date, l.stations.size(), l.stations.size() == 1 ? "station" : "stations", l.green_speed_ft);
        const bool pressed = ImGui::Button(words.c_str(), {-1, 0});
        ImGui::PopID();
        if (pressed) return model.go_on(id);
    }
    ImGui::Spacing();
    const float half = half_width();
    // Not where the lesson was just ended: a second click does no harm.
    if (ImGui::Button("Erase\u2026", {half, 0})) model.erase_asked = true;
    ImGui::SameLine();
    if (ImGui::Button("Another player", {half, 0})) return model.leave_player();
    if (!model.erase_asked) return;
    kit::wrapped(fmt::format("Erase {} with all lessons, putts and the baseline? They are gone for good.", p.name));
    if (ImGui::Button("Leave it", {half, 0})) model.erase_asked = false;
    ImGui::SameLine();
    if (ImGui::Button("Erase for good", {half, 0})) model.erase_player();
}

}  // namespace

void draw_lesson_setup(Coach& coach) {
    LessonModel& model = coach.lesson;
    draw_file(model);
    sentence(model.message());
    if (model.has_file()) {
        if (model.player()) {
            draw_player(coach);
        } else {
            if (!model.players().empty()) draw_players(model);
            if (!model.player()) draw_new_player(model);
        }
    }
    kit::heading("Before you set out");
    kit::remark("Ask the greenkeeper first. Count pegs, coins and strings out, and count them in. Watch for balls in play, and leave the green in lightning. "
                "For practice only: markers and printed lines are not for use in a round.");
}

}  // namespace brae::practice_stations
