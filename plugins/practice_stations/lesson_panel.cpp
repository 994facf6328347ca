#include "plugins/practice_stations/lesson_panel.h"

#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <fmt/format.h>
#include <imgui_stdlib.h>

namespace brae::practice_stations {

namespace kit = plugin::kit;

namespace {

float nth(int n) { return (ImGui::GetContentRegionAvail().x - static_cast<float>(n - 1) * ImGui::GetStyle().ItemSpacing.x) / static_cast<float>(n); }

void draw_stations_row(LessonModel& model) {
    PuttEntry& entry = model.entry();
    const float edge = ImGui::GetContentRegionMax().x, gap = ImGui::GetStyle().ItemSpacing.x, width = 2.3f * ImGui::GetFontSize();
    const auto& stations = model.lesson()->stations;
    for (int k = 0; k < static_cast<int>(stations.size()); ++k) {
        if (k > 0) {
            ImGui::SameLine();
            if (ImGui::GetCursorPosX() + width > edge + 0.5f * gap) ImGui::NewLine();
        }
        const int putts = model.putts_at(k);
        ImGui::PushID(k);
        if (key_button(stations[static_cast<std::size_t>(k)].place.label.c_str(), width, k == entry.station())) {
            entry.go_to(k);
            model.act(EntryDo::shown);
        }
        if (ImGui::IsItemHovered())
            ImGui::SetTooltip("%s", fmt::format("{} {} here. Tab goes to the next station.", putts, putts == 1 ? "putt" : "putts").c_str());
        ImGui::PopID();
    }
}

// Whose line the player aims along.
void draw_phase(LessonModel& model) {
    PuttEntry& entry = model.entry();
    constexpr std::pair<const char*, PuttPhase> kPhases[] = {{"Own read", PuttPhase::own_read}, {"Marker", PuttPhase::marker}, {"Mark", PuttPhase::mark}, {"Retest", PuttPhase::retest}};
    const float width = nth(4);
    ImGui::PushFont(kit::small_font());
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, {3, ImGui::GetStyle().FramePadding.y});
    for (const auto& [name, phase] : kPhases) {
        if (phase != PuttPhase::own_read) ImGui::SameLine();
        if (key_button(name, width, entry.phase() == phase)) {
            entry.go_to(entry.station(), phase);
            model.act(EntryDo::shown);
        }
    }
    ImGui::PopStyleVar();
    ImGui::PopFont();
}

// What is told so far of this putt: the read, the place.
void draw_told(const PuttEntry& entry) {
    if (entry.own_line()) {
        const std::string typed = entry.typing() == TypedFor::read ? entry.typed() + "_ " + entry.typed_unit() : std::string();
        kit::row("Own read", !typed.empty() ? typed : entry.read_text().empty() ? (entry.step() == EntryStep::read ? (entry.cups() ? "in hole widths" : "\u2013") : "not told") : entry.read_text());
    }
    std::string stop = entry.stop_text();
    if (entry.typing() == TypedFor::tape || entry.typing() == TypedFor::paces)
        stop += (stop.empty() ? "" : ", ") + entry.typed() + "_ " + entry.typed_unit();
    kit::row("Stopped", stop.empty() ? "\u2013" : stop);
}

void draw_outcomes(LessonModel& model) {
    PuttEntry& entry = model.entry();
    // The letters and arrows that do the same.
    struct Way { const char* words; PuttOutcome outcome; };
    constexpr Way kWays[] = {{"H  Holed", PuttOutcome::holed},          {"S  Short", PuttOutcome::short_of},         {"X  Missed", PuttOutcome::missed},
                             {"\u2191  High", PuttOutcome::passed_high}, {"\u2193  Low", PuttOutcome::passed_low},    {"I  Lip-out", PuttOutcome::lip_out},
                             {"\u2190  Left", PuttOutcome::passed_left}, {"\u2192  Right", PuttOutcome::passed_right}, {"O  Off green", PuttOutcome::off_green}};
    ImGui::BeginDisabled(entry.step() == EntryStep::read);
    const float width = nth(3);
    for (int k = 0; k < 9; ++k) {
        if (k % 3 != 0) ImGui::SameLine();
        if (key_button(kWays[k].words, width, entry.noted() == kWays[k].outcome)) model.act(entry.outcome(kWays[k].outcome));
    }
    ImGui::EndDisabled();
}

// Three rows of three, as the keys 1 to 9 stand.
void draw_details(LessonModel& model) {
    PuttEntry& entry = model.entry();
    const SeenPutt& seen = entry.seen();
    ImGui::BeginDisabled(entry.step() == EntryStep::read || entry.typing() != TypedFor::nothing);
    ImGui::PushFont(kit::small_font());
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, {4, 3 * ImGui::GetFontSize() / 13.5f});
    const float label = 5.6f * ImGui::GetFontSize();
    const auto row = [&](const char* name, const char* const (&words)[3], int first, int chosen) {
        ImGui::AlignTextToFramePadding();
        ImGui::TextDisabled("%s", name);
        ImGui::SameLine(label);
        const float width = nth(3);
        for (int k = 0; k < 3; ++k) {
            if (k > 0) ImGui::SameLine();
            const std::string text = fmt::format("{}  {}", first + k, words[k]);
            ImGui::PushID(first + k);
            if (key_button(text.c_str(), width, chosen == k)) model.act(entry.letter(static_cast<char>('0' + first + k)));
            ImGui::PopID();
        }
    };
    row("Start line", {"left", "middle", "right"}, 1, seen.gate ? static_cast<int>(*seen.gate) : -1);
    row("Aim seen", {"left", "on", "right"}, 4, seen.aim ? static_cast<int>(*seen.aim) : -1);
    row("Strike", {"toe", "centre", "heel"}, 7, seen.strike ? static_cast<int>(*seen.strike) : -1);
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Marker");
    ImGui::SameLine(label);
    const float third = nth(3);
    if (key_button(seen.marker_seen ? (*seen.marker_seen ? "0  seen" : "0  hidden") : "0  \u2013", third, seen.marker_seen.has_value())) model.act(entry.letter('0'));
    ImGui::SameLine();
    if (key_button("M  tape", third, entry.typing() == TypedFor::tape)) model.act(entry.letter('M'));
    ImGui::SameLine();
    if (key_button("P  paces", third, entry.typing() == TypedFor::paces)) model.act(entry.letter('P'));
    ImGui::PopStyleVar();
    ImGui::PopFont();
    ImGui::EndDisabled();
}

// How the lesson stands and what stands in its way.
void draw_head(Coach& coach) {
    LessonModel& model = coach.lesson;
    const int putts = static_cast<int>(model.putts().size());
    const StoredPlayer* player = model.player();
    kit::row(player ? player->name.c_str() : "Lesson",
             putts == 0 ? "no putt yet" : fmt::format("{} {}, {}", putts, putts == 1 ? "putt" : "putts", model.unsaved() == 0 ? "all saved" : fmt::format("{} not saved", model.unsaved())));
    if (model.unsaved() > 0) {
        const float half = nth(2);
        if (ImGui::Button("Save again", {half, 0})) model.save_again();
        ImGui::SameLine();
        if (ImGui::Button("Go on elsewhere\u2026", {half, 0})) model.ask_elsewhere();
    }
    if (const int missing = model.missing(coach.stations.stations()); missing > 0)
        if (ImGui::Button(fmt::format("Take in {} new {}", missing, missing == 1 ? "station" : "stations").c_str(), {-1, 0})) model.take_in(coach.stations.stations());
}

void draw_taking_down(Coach& coach) {
    LessonModel& model = coach.lesson;
    PuttEntry& entry = model.entry();
    draw_head(coach);
    draw_stations_row(model);
    draw_phase(model);

    // What comes now; what went wrong stands in its place until the next key.
    const int here = model.putts_at(entry.station());
    const bool saved = entry.step() == EntryStep::place || entry.step() == EntryStep::doubt;
    kit::heading(fmt::format("Putt {}, station {}", model.putts().size() + (saved ? 0 : 1), model.lesson()->stations[static_cast<std::size_t>(entry.station())].place.label).c_str());
    const float from = ImGui::GetCursorPosY();
    if (!model.in_hand()) {
        if (ImGui::Button("Go on (Shift+L)", {-1, 0})) model.take_in_hand();
        kit::remark("Paused: keys and clicks are the program's own.");
    } else if (!model.doubt().empty()) {
        sentence(model.doubt());
        kit::wrapped(entry.asks());
    } else {
        kit::wrapped((entry.step() == EntryStep::place && model.unsaved() == 0 ? "Saved. " : "") + entry.asks());
    }
    // Two lines at least, so that the buttons stay under the mouse.
    ImGui::SetCursorPosY(std::max(ImGui::GetCursorPosY(), from + 2.3f * ImGui::GetTextLineHeight()));
    if (!entry.message().empty()) sentence(entry.message());
    if (!model.message().empty()) sentence(model.message());
    if (here >= kPuttsASpot && entry.step() != EntryStep::place)
        kit::remark(fmt::format("{} putts from this spot: move the ball's spot, so that the turf recovers.", here));
    if (entry.phase() == PuttPhase::mark) form_row("Mark picked", model.mark, "an old pitch mark, a leaf");
    draw_told(entry);
    ImGui::Spacing();
    draw_outcomes(model);
    ImGui::Spacing();
    draw_details(model);
    ImGui::Spacing();
    const float third = nth(3);
    ImGui::BeginDisabled(model.putts().empty());
    if (ImGui::Button("Undo", {third, 0})) model.act(EntryDo::undo);
    ImGui::EndDisabled();
    ImGui::SameLine();
    if (ImGui::Button(model.in_hand() ? "Pause" : "Go on", {third, 0})) model.in_hand() ? model.pause() : model.take_in_hand();
    ImGui::SameLine();
    if (ImGui::Button("End lesson", {third, 0})) model.leave_lesson();
}

void draw_keys(LessonModel& model) {
    if (!ImGui::CollapsingHeader("All keys")) return;
    for (const auto& [key, does] : {std::pair{"click", "own read before the putt, then where it stopped"}, {"digits, \u2190 \u2192", "own read by number; C in hole widths this once, R as last time"},
                                    {"H S X I O \u2191 \u2193 \u2190 \u2192", "how it ended"}, {"1\u20133 4\u20136 7\u20139 0", "start line, aim, strike, marker"}, {"M  P", "place by tape, by paces"},
                                    {"Enter", "next putt"}, {"Tab  N", "next station, suggested one"}, {"L", "own read, marker, mark, retest"}, {"Ctrl+Z  Ctrl+Y", "take back, bring again"}, {"Esc", "pause; Shift+L goes on"}}) {
        kit::row(key, "");
        kit::remark(does);
    }
    float pace = static_cast<float>(model.entry().pace_m());
    ImGui::SetNextItemWidth(-1);
    if (ImGui::SliderFloat("##pace", &pace, 0.5f, 1.3f, "one of your paces: %.2f m")) model.set_pace(static_cast<double>(pace));
    bool cups = model.entry().usually_cups();
    if (ImGui::Checkbox("Type reads in hole widths", &cups)) model.set_usually_cups(cups);
    ImGui::Checkbox("Show the true line after the read", &model.show_true);
    ImGui::Checkbox("Hide the program's read until then", &model.hide_read);
}

}  // namespace

bool key_button(const char* words, float width, bool on) {
    if (on) ImGui::PushStyleColor(ImGuiCol_Button, ImGui::GetStyleColorVec4(ImGuiCol_Header));
    const bool pressed = ImGui::Button(words, {width, 0});
    if (on) ImGui::PopStyleColor();
    return pressed;
}

void sentence(const std::string& text) {
    if (text.empty()) return;
    const char last = text.back();
    kit::wrapped(kit::capital(text) + (last == '.' || last == '?' || last == '!' ? "" : "."));
}

bool form_row(const char* label, std::string& text, const char* hint) {
    ImGui::PushID(label);
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("%s", label);
    ImGui::SameLine(8.2f * ImGui::GetFontSize());
    ImGui::SetNextItemWidth(-1);
    const bool enter = ImGui::InputTextWithHint("##field", hint, &text, ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll);
    ImGui::PopID();
    return enter;
}

void draw_parts(Coach& coach) {
    constexpr std::pair<const char*, Part> kParts[] = {{"Plan", Part::stations}, {"Lesson", Part::lesson}, {"Check green", Part::check}};
    const float width = nth(3);
    for (const auto& [name, part] : kParts) {
        if (part != Part::stations) ImGui::SameLine();
        if (key_button(name, width, coach.part() == part)) coach.show(part);
    }
    ImGui::Spacing();
}

void draw_lesson_panel(Coach& coach) {
    if (!coach.stations.now().green) {
        kit::remark("Open a green to hold a lesson on it.");
        return;
    }
    if (!coach.lesson.lesson()) return draw_lesson_setup(coach);
    draw_taking_down(coach);
    if (!coach.lesson.lesson()) return;   // it was ended
    draw_lesson_results(coach.lesson, coach.stations.now().units);
    if (!coach.lesson.putts().empty()) {
        kit::heading("On paper");
        const float half = nth(2);
        if (ImGui::Button("Player's page\u2026", {half, 0})) coach.lesson.ask_page(false);
        ImGui::SameLine();
        if (ImGui::Button("Coach's report\u2026", {half, 0})) coach.lesson.ask_page(true);
    }
    draw_keys(coach.lesson);
    kit::heading("When you stop");
    int pegs = 0;
    for (const StoredLessonStation& s : coach.lesson.lesson()->stations) pegs += s.break_m && *s.break_m >= kHoleRadius;
    kit::remark(fmt::format("Count the pegs and coins in again: {} {} an aim marker here, and gates have two tees each. For practice only, not for use in a round. "
                            "Leave the green in lightning.", pegs, pegs == 1 ? "station has" : "stations have"));
}

}  // namespace brae::practice_stations
