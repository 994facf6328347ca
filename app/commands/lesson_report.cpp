#include "app/commands/lesson_report.h"

#include "app/commands/terminal.h"
#include "core/base/units.h"
#include "core/teach/practice_advice.h"
#include "core/teach/tendency_words.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

using nlohmann::ordered_json;

ordered_json json_of(const Told90& t, double by) {
    return {{"mean", tidy(by * t.mean)}, {"sd", tidy(by * t.sd)}, {"low_90", tidy(by * t.low)}, {"high_90", tidy(by * t.high)}};
}
ordered_json json_of(const std::optional<Told90>& t, double by) { return t ? json_of(*t, by) : ordered_json(nullptr); }

Told90 in_degrees(const Told90& t) { return {degrees(t.mean), degrees(t.sd), degrees(t.low), degrees(t.high)}; }

}  // namespace

ordered_json json_of(const WorkedLesson& r) {
    const LessonEstimate& e = r.estimate;
    const double deg = degrees(1);
    ordered_json out{{"lesson", r.lesson.id},
                     {"player", r.player.name},
                     {"date", r.lesson.date},
                     {"putts", e.putts},
                     {"read_apart", e.read_apart},
                     {"read_low_deg", e.read_apart ? json_of(e.read_low, deg) : ordered_json(nullptr)},
                     {"read_low_m", e.read_apart ? json_of(e.read_low_m, 1) : ordered_json(nullptr)},
                     {"read_constant_deg", e.read_apart ? json_of(e.figure[kReadConstant], deg) : ordered_json(nullptr)},
                     {"read_share_pct", e.read_apart ? json_of(e.figure[kReadShare], 100) : ordered_json(nullptr)},
                     {"start_line_deg", json_of(e.start_line, deg)},
                     {"aim_deg", e.aims_seen > 0 ? json_of(e.figure[kAimBias], deg) : ordered_json(nullptr)},
                     {"stroke_deg", e.aims_seen > 0 ? json_of(e.figure[kStrokeBias], deg) : ordered_json(nullptr)},
                     {"pace_pct", json_of(e.figure[kPaceBias], 100)},
                     {"spreads", {{"aim_deg", json_of(e.figure[kAimSpread], deg)}, {"stroke_deg", json_of(e.figure[kStrokeSpread], deg)}, {"pace_pct", json_of(e.figure[kPaceSpread], 100)},
                                  {"read_deg", json_of(e.figure[kReadSpread], deg)}, {"read_of_station_deg", json_of(e.figure[kReadStationSpread], deg)}}},
                     {"sides", {{"high", e.sides.high}, {"low", e.sides.low}, {"short", e.sides.short_of}, {"holed", e.sides.holed}, {"others", e.sides.others},
                                {"low_share", e.sides.high + e.sides.low > 0 ? ordered_json(tidy(e.sides.low_share)) : ordered_json(nullptr)},
                                {"low_share_low_90", tidy(e.sides.low_from)}, {"low_share_high_90", tidy(e.sides.low_to)}}},
                     {"retest", nullptr},
                     {"settled", e.settled},
                     {"sentences", tendency_sentences(e)},
                     {"stations", ordered_json::array()},
                     {"each", ordered_json::array()},
                     {"history", ordered_json::array()},
                     {"practise", ordered_json::array()},
                     {"next", ordered_json::array()}};
    for (std::size_t k = 0; k < e.station.size(); ++k)
        out["stations"].push_back({{"label", r.lesson.stations[k].place.label}, {"putts", e.station[k].putts}, {"holed", e.station[k].holed}, {"expected", tidy(e.station[k].expected)},
                                   {"aim_offset_m", tidy(r.truth[k].offset_m)}, {"aim_offset_se_m", tidy(r.truth[k].se_m)},
                                   {"own_read_deg", e.read_apart ? json_of(e.station[k].read, deg) : ordered_json(nullptr)}});
    for (std::size_t k = 0; k < e.putt.size(); ++k) {
        const PuttErrors& p = e.putt[k];
        out["each"].push_back({{"id", r.putts[k].id}, {"told", p.told}, {"direction_deg", json_of(p.direction, deg)}, {"read_deg", json_of(p.read, deg)},
                               {"start_line_deg", json_of(p.start_line, deg)}, {"aim_deg", json_of(p.aim, deg)}, {"stroke_deg", json_of(p.stroke, deg)}, {"pace_pct", json_of(p.pace, 100)},
                               {"pace_counted", p.pace_counted}, {"chance", tidy(p.chance)}, {"sentence", putt_sentence(p)}});
    }
    if (r.retest)
        out["retest"] = {{"before_low_deg", json_of(r.retest->before, deg)}, {"retest_low_deg", json_of(r.retest->retest, deg)}, {"change_deg", json_of(r.retest->change, deg)},
                         {"before_putts", r.retest->before_putts}, {"retest_putts", r.retest->retest_putts}};
    for (const LessonFigures& f : r.history)
        out["history"].push_back({{"lesson", f.id}, {"date", f.date}, {"putts", f.putts}, {"read_low_deg", f.read_apart ? json_of(f.read_low, deg) : ordered_json(nullptr)},
                                  {"read_share_pct", f.read_apart ? json_of(f.read_share, 100) : ordered_json(nullptr)}, {"start_line_deg", json_of(f.start_line, deg)},
                                  {"pace_pct", json_of(f.pace, 100)}});
    for (const PracticeAdvice& p : practice_advice(e)) out["practise"].push_back({{"sentence", p.sentence}, {"lesson", p.lesson}, {"sure", p.sure}});
    for (const NextPutt& n : r.next)
        out["next"].push_back({{"station", r.lesson.stations[static_cast<std::size_t>(n.station)].place.label}, {"own_read", n.own_read}, {"reduction", tidy(n.reduction)}});
    return out;
}

std::string words_of(const WorkedLesson& r) {
    std::string out = fmt::format("lesson       {}{}, {} putt{}\n", r.player.name, r.lesson.date.empty() ? "" : ", " + r.lesson.date, r.estimate.putts,
                                  r.estimate.putts == 1 ? "" : "s");
    for (const std::string& s : tendency_sentences(r.estimate)) out += "tendency     " + s + "\n";
    for (std::size_t k = 0; k < r.estimate.station.size(); ++k) {
        const StationTold& s = r.estimate.station[k];
        if (s.putts > 0)
            out += fmt::format("station {:<4} {} of {} holed, {:.1f} expected of this player\n", r.lesson.stations[k].place.label, s.holed, s.putts, s.expected);
    }
    if (r.retest)
        out += "retest       " + sentence_on({"own read since the first phase", "degrees", "less low", "lower", 0.25, 1}, in_degrees(r.retest->change), r.retest->before_putts + r.retest->retest_putts) + "\n";
    for (const LessonFigures& f : r.history)
        if (r.history.size() > 1) out += fmt::format("history      {} ({} putt{}), 90 %: start line {:.1f} to {:.1f} degrees right, pace {:.0f} to {:.0f} % hard{}\n", f.date.empty() ? f.id : f.date, f.putts, f.putts == 1 ? "" : "s",
                           degrees(f.start_line.low), degrees(f.start_line.high), 100 * f.pace.low, 100 * f.pace.high,
                           f.read_apart ? fmt::format(", own read {:.1f} to {:.1f} degrees low", degrees(f.read_low.low), degrees(f.read_low.high)) : "");
    for (const PracticeAdvice& p : practice_advice(r.estimate)) out += "practise     " + p.sentence + " Lesson " + p.lesson + ".\n";
    if (!r.estimate.putt.empty()) out += "last putt    " + putt_sentence(r.estimate.putt.back()) + "\n";
    if (!r.next.empty()) out += "next         " + next_putt_words(r.next.front(), r.lesson.stations[static_cast<std::size_t>(r.next.front().station)].place.label) + "\n";
    if (!r.estimate.settled) out += "note         the draws have not settled; the intervals are rough\n";
    return out;
}

}  // namespace brae::app
