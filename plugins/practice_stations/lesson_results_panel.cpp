// What the putts tell: the last one, the tendency so far, the chances, and what to do next.
#include "plugins/api/panel_kit.h"
#include "plugins/practice_stations/lesson_panel.h"

#include "core/base/units.h"
#include "core/export/wording.h"
#include "core/teach/tendency_words.h"

#include <cmath>
#include <fmt/format.h>

namespace brae::practice_stations {

namespace kit = plugin::kit;

namespace {

// "0.8° left ± 0.5": an error in words, without a side where it shows as zero; the ± holds the truth in nine of ten cases, as on paper.
std::string with_side(double value, double half, const char* unit, int places, const char* less, const char* more) {
    const std::string shown = fmt::format("{:.{}f}", std::abs(value), places);
    const bool zero = shown.find_first_not_of("0.") == std::string::npos;
    return fmt::format("{}{}{}{} \u00b1 {:.{}f}", shown, unit, zero ? "" : " ", zero ? "" : value < 0 ? less : more, half, places);
}
std::string angle_text(const Told90& t, const char* less, const char* more) { return with_side(degrees(t.mean), degrees(half_width(t)), "\u00b0", 1, less, more); }

void draw_last(const LessonModel& model, plugin::Units units) {
    const LessonResult& r = *model.result();
    if (r.putt.empty() || model.putts().empty()) return;
    // The newest putt that has been worked out.
    const std::size_t k = r.putts - 1;
    if (k >= r.putt.size()) return;
    kit::heading(fmt::format("Putt {}", r.putts).c_str());
    if (r.putt[k] < 0) {
        kit::wrapped("Its station tells nothing.");
        return;
    }
    const PuttErrors& p = r.estimate.putt[static_cast<std::size_t>(r.putt[k])];
    if (!p.told) {
        sentence(in_units(p.why, units == plugin::Units::feet));
        return;
    }
    const StationResponse* at = k < model.putts().size() ? model.tables()->of(model.putts()[k].seen.station) : nullptr;
    const bool breaks = at && !at->straight(), right_high = at && at->high_is_right();
    if (p.read) kit::row("Read", angle_text(*p.read, breaks ? (right_high ? "low" : "high") : "left", breaks ? (right_high ? "high" : "low") : "right"));
    if (p.aim) kit::row("Aim at address", angle_text(*p.aim, "left", "right"));
    if (p.stroke) kit::row("Stroke", angle_text(*p.stroke, "left", "right"));
    if (p.start_line && !p.aim) kit::row("Start line", angle_text(*p.start_line, "left", "right"));
    if (!p.start_line && p.direction) kit::row("Start against the true aim", angle_text(*p.direction, "left", "right"));
    if (!p.pace_counted) kit::row("Pace", "not counted: mis-strike");
    else if (p.pace) kit::row("Pace", with_side(100 * p.pace->mean, 100 * half_width(*p.pace), " %", 0, "soft", "hard"));
    kit::row("Chance to hole it was", p.chance < 0.01 ? "under 1 %" : kit::number("%.0f", 100 * p.chance, "%"));
}

void draw_next(LessonModel& model) {
    const LessonResult& r = *model.result();
    if (r.next.empty()) return;
    kit::heading("Next");
    const NextPutt& n = r.next.front();
    sentence(next_putt_words(n, model.lesson()->stations[static_cast<std::size_t>(n.station)].place.label));
    ImGui::BeginDisabled(!model.up_to_date());
    if (ImGui::Button("N  Go there", {-1, 0})) model.act(EntryDo::suggested);
    ImGui::EndDisabled();
}

void draw_so_far(const LessonModel& model, plugin::Units units) {
    const LessonEstimate& e = model.result()->estimate;
    if (e.putts == 0) return;
    kit::heading("So far");
    for (const std::string& s : tendency_sentences(e)) sentence(in_units(s, units == plugin::Units::feet));
    if (!e.settled) kit::remark("The draws have not settled: the intervals are rough.");
    const SideShares& s = e.sides;
    if (s.high + s.low > 0)
        kit::row("Passed high, low", fmt::format("{}, {} ({:.0f} to {:.0f} % low)", s.high, s.low, 100 * s.low_from, 100 * s.low_to));
    if (const auto& t = model.result()->retest)
        sentence(sentence_on({"own read since the first phase", "degrees", "less low", "lower", 0.25, 1},
                             {degrees(t->change.mean), degrees(t->change.sd), degrees(t->change.low), degrees(t->change.high)}, t->before_putts + t->retest_putts));
}

// Holed against what this player, as known so far, was to hole.
void draw_chances(const LessonModel& model) {
    const LessonResult& r = *model.result();
    kit::heading("Holed against the model");
    for (std::size_t k = 0; k < model.lesson()->stations.size(); ++k) {
        const int place = model.tables()->place[k];
        const std::string& label = model.lesson()->stations[k].place.label;
        if (place < 0 || !r.chance[k]) continue;
        const StationTold* told = static_cast<std::size_t>(place) < r.estimate.station.size() ? &r.estimate.station[static_cast<std::size_t>(place)] : nullptr;
        const std::string chance = fmt::format("{:.0f} % own, {:.0f} % marker", 100 * r.chance[k]->own_read, 100 * r.chance[k]->marker);
        kit::row(label.c_str(), told && told->putts > 0 ? fmt::format("{} of {}, {:.1f} expected", told->holed, told->putts, told->expected) : chance);
    }
}

}  // namespace

void draw_lesson_results(LessonModel& model, plugin::Units units) {
    if (const auto done = model.working()) {
        ImGui::Spacing();
        ImGui::ProgressBar(static_cast<float>(*done), {-1, 0.5f * ImGui::GetFrameHeight()}, "");
        kit::remark("Working out the putts; go on meanwhile.");
    }
    if (!model.trouble().empty()) sentence(model.trouble());
    if (const LessonModel::Before& b = model.before(); b.lessons + b.elsewhere > 0) {
        std::string words = b.lessons > 0 ? fmt::format("Begins with what {} of {} on this green told.", b.putts == 1 ? "one putt" : fmt::format("{} putts", b.putts),
                                                        b.lessons == 1 ? "an earlier lesson" : fmt::format("{} earlier lessons", b.lessons)) : "";
        if (b.elsewhere > 0) words += fmt::format("{}{} on other greens {} not count here.", words.empty() ? "" : " ", b.elsewhere == 1 ? "A lesson" : fmt::format("{} lessons", b.elsewhere), b.elsewhere == 1 ? "does" : "do");
        kit::remark(words);
    }
    if (!model.result() || !model.tables()) return;
    draw_last(model, units);
    draw_next(model);
    draw_so_far(model, units);
    draw_chances(model);
}

}  // namespace brae::practice_stations
