#include "core/export/lesson_sheets.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/base/units.h"
#include "core/export/lesson_drawings.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr const char* kEnd = "\r\n";

// ",mean,low,high", empty where it is not told.
std::string told(const std::optional<Told90>& t, double by, int places) {
    return t ? fmt::format(",{:.{}f},{:.{}f},{:.{}f}", by * t->mean, places, by * t->low, places, by * t->high, places) : ",,,";
}
std::string columns(const char* name) { return fmt::format(",{0},{0}_low_90,{0}_high_90", name); }

}  // namespace

std::string cross_text(double offset_m, bool feet) {
    const double value = std::abs(offset_m) / (feet ? kInch : 0.01);
    if (value < 0.5) return "centre";
    return fmt::format("{:.0f}\u00a0{} {}", value, feet ? "in" : "cm", offset_m > 0 ? "right" : "left");
}

std::string next_session(const WorkedLesson& w) {
    if (w.next.empty()) return "Begin with putts on your own read, told before each putt.";
    const NextPutt& n = w.next.front();
    constexpr const char* names[] = {"your read", "how your read grows with the break", "your start line", "your pace"};
    std::string out = fmt::format("Begin at station {} {}: of all putts here it would tell most of {}.", w.lesson.stations[static_cast<std::size_t>(n.station)].place.label,
                                  n.own_read ? "on your own read, told before the putt" : "at the marker", names[n.most()]);
    if (w.estimate.read_apart && !w.retest)
        out += " Then take two new putts of like break without any marker, so that today's reads can be held against them.";
    return out;
}

std::string told_putts_as_csv(const WorkedLesson& w) {
    std::string out = "putt,station,phase,outcome,own_read_m,true_aim_m,true_aim_se_m" + columns("read_deg") + columns("start_line_deg") + columns("direction_deg") +
                      columns("pace_pct") + ",pace_counted,chance,why_not" + kEnd;
    const double deg = degrees(1);
    for (std::size_t k = 0; k < w.putts.size() && k < w.estimate.putt.size(); ++k) {
        const SeenPutt& p = w.putts[k].seen;
        const PuttErrors& e = w.estimate.putt[k];
        const auto at = static_cast<std::size_t>(p.station);
        out += fmt::format("{},{},{},{},{},{:.3f},{:.3f}", k + 1, field_of(w.lesson.stations[at].place.label), p.phase ? kPhaseWords[static_cast<std::size_t>(*p.phase)] : "",
                           kOutcomeWords[static_cast<std::size_t>(p.outcome)], p.own_read_m ? fmt::format("{:.3f}", *p.own_read_m) : "", w.truth[at].offset_m, w.truth[at].se_m);
        out += told(e.read, deg, 2) + told(e.start_line, deg, 2) + told(e.direction, deg, 2) + told(e.pace, 100, 1);
        out += fmt::format(",{},{:.3f},{}{}", e.pace_counted ? "yes" : "no", e.chance, field_of(e.why), kEnd);
    }
    return out;
}

std::string history_as_csv(const WorkedLesson& w) {
    std::string out = "lesson,date,green_speed_ft,putts,holed,expected" + columns("read_low_deg") + columns("read_share_pct") + columns("start_line_deg") +
                      columns("start_spread_deg") + columns("pace_pct") + columns("pace_spread_pct") + ",passed_low,passed_high,settled" + kEnd;
    const double deg = degrees(1);
    for (const LessonFigures& f : w.history) {
        const auto apart = [&](const Told90& t) { return f.read_apart ? std::optional(t) : std::nullopt; };
        out += fmt::format("{},{},{:.1f},{},{},{:.1f}", f.id, field_of(f.date), f.green_speed_ft, f.putts, f.holed, f.expected);
        out += told(apart(f.read_low), deg, 2) + told(apart(f.read_share), 100, 1) + told(f.start_line, deg, 2) + told(f.start_spread, deg, 2) +
               told(f.pace, 100, 1) + told(f.pace_spread, 100, 1);
        out += fmt::format(",{},{},{}{}", f.sides.low, f.sides.high, f.settled ? "yes" : "no", kEnd);
    }
    return out;
}

SheetResult write_lesson_sheet(const Green& green, const WorkedLesson& lesson, const LessonSheetRequest& request, const std::filesystem::path& file) {
    if (!green.terrain || green.terrain->outline.empty()) throw Error(fmt::format("the green '{}' has no terrain yet, so there is nothing to print", green.name));
    if (lesson.truth.empty()) throw usage_error("the lesson has no stations, so there is nothing to print");
    const DrawnSheet sheet = request.reader == LessonReader::player ? draw_player_sheet(green, lesson, request) : draw_coach_sheet(green, lesson, request);
    write_file_safely(file, sheet.pdf);
    return sheet.result;
}

}  // namespace brae
