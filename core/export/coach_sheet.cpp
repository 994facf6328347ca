// The coach's report: the history over weeks with plots, the lessons as a table, and the last lesson putt by putt.
#include "core/base/interval.h"
#include "core/base/units.h"
#include "core/export/charts.h"
#include "core/export/green_plan.h"
#include "core/export/lesson_drawings.h"
#include "core/export/wording.h"
#include "core/teach/practice_advice.h"
#include "core/teach/tendency_words.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {
namespace {

constexpr double kPlotHeight = 118, kGutter = 18;

PlotPoint point(const LessonFigures& f, const Told90& t, double by, bool told = true) { return {f.date, by * t.mean, by * t.low, by * t.high, told}; }

std::vector<TimePlot> plots_of(const std::vector<LessonFigures>& history) {
    const double deg = degrees(1);
    std::vector<TimePlot> out{{"Own read, degrees to the low side", "low", "high", 0.25, false, 1, {}},
                              {"Own read, share of the break, %", "too much", "too little", 5, false, 0, {}},
                              {"Start line, degrees", "right", "left", 0.25, false, 1, {}},
                              {"Spread of the start line, degrees", "", "", 0, true, 1, {}},
                              {"Pace, % of launch speed", "hard", "soft", 1.5, false, 0, {}},
                              {"Spread of the pace, %", "", "", 0, true, 0, {}}};
    for (const LessonFigures& f : history) {
        out[0].points.push_back(point(f, f.read_low, deg, f.read_apart));
        out[1].points.push_back(point(f, f.read_share, 100, f.read_apart));
        out[2].points.push_back(point(f, f.start_line, deg, f.putts > 0));
        out[3].points.push_back(point(f, f.start_spread, deg, f.putts > 0));
        out[4].points.push_back(point(f, f.pace, 100, f.putts > 0));
        out[5].points.push_back(point(f, f.pace_spread, 100, f.putts > 0));
    }
    return out;
}

// "0.4 to 1.1 right" or "0.2 left to 0.9 right"
std::string span(const Told90& t, double by, int places, const char* less, const char* more) {
    const auto size = [&](double v) { return fmt::format("{:.{}f}", std::abs(by * v), places); };
    const auto seen = [&](double v) { return std::abs(by * v) >= 0.5 * std::pow(10.0, -places); };
    if (t.low < 0 && t.high > 0 && seen(t.low) && seen(t.high)) return fmt::format("{}\u00a0{} to {}\u00a0{}", size(t.low), less, size(t.high), more);
    const double near = t.low < 0 && t.high > 0 ? 0 : std::min(std::abs(t.low), std::abs(t.high)), far = std::max(std::abs(t.low), std::abs(t.high));
    return fmt::format("{} to {}\u00a0{}", size(near), size(far), std::abs(t.low) > std::abs(t.high) ? less : more);
}

// One putt's error: the mean, and the ± that holds the truth in nine of ten cases.
std::string with_error(const std::optional<Told90>& t, double by, int places, const char* less, const char* more) {
    if (!t) return "";
    // One more place where the error would read as nothing.
    const double error = by * half_width(*t);
    if (error < 0.5 * std::pow(10.0, -places)) ++places;
    return fmt::format("{:.{}f} {} ± {:.{}f}", std::abs(by * t->mean), places, t->mean < 0 ? less : more, error, places);
}

std::string phase_word(const SeenPutt& p) {
    if (p.phase) return kPhaseWords[static_cast<std::size_t>(*p.phase)];
    return line_of(p) == LineKnown::marker ? "marker" : "own-read";
}

}  // namespace

DrawnSheet draw_coach_sheet(const Green& green, const WorkedLesson& w, const LessonSheetRequest& request) {
    const bool feet = request.feet_and_inches;
    const double deg = degrees(1);
    const LessonEstimate& e = w.estimate;
    int putts = 0;
    for (const LessonFigures& f : w.history) putts += f.putts;
    std::string about = w.player.hand.empty() ? "" : w.player.hand + "-handed";
    if (!w.player.handicap.empty()) about += (about.empty() ? "" : ", ") + std::string("handicap ") + w.player.handicap;
    const auto draw = [&](int total_pages) {
        Document d(request.paper,
                   {"Lessons over time", w.player.name + ", on " + green.name,
                    {fmt::format("{} lesson{}, {} putt{}", w.history.size(), w.history.size() == 1 ? "" : "s", putts, putts == 1 ? "" : "s"), about, "Newest " + (w.lesson.date.empty() ? "lesson" : w.lesson.date)},
                    sheet_foot(green), "Personal data. Not for use during a round."},
                   total_pages);
        if (!request.note.empty()) d.paragraph("Note: " + as_sentence(in_units(request.note, feet)));

        // The plots, two in a row.
        const std::vector<TimePlot> plots = plots_of(w.history);
        const double wide = (d.width() - kGutter) / 2;
        for (std::size_t k = 0; k < plots.size(); k += 2) {
            d.reserve(kPlotHeight);
            for (std::size_t c = 0; c < 2 && k + c < plots.size(); ++c) {
                const double x = d.left() + static_cast<double>(c) * (wide + kGutter);
                time_plot(d, {x, d.y, x + wide, d.y + kPlotHeight - 8}, plots[k + c]);
            }
            d.y += kPlotHeight;
        }
        d.paragraph("Dots and line: the mean. Shaded here, and spans and ± below, hold the truth in nine of ten cases. Between the dotted lines it does not matter. "
                    "Spread: two putts of three lie within it. Each lesson starts from what the "
                    "ones before it told, widened by what a player may change from week to week, so the bands lean on all lessons up to theirs." +
                    std::string(w.history.size() < 2 ? " One lesson is no trend." : ""));

        // The lessons.
        std::vector<std::vector<std::string>> rows;
        for (std::size_t k = 0; k < w.history.size(); ++k) {
            const LessonFigures& f = w.history[k];
            const int passed = f.sides.high + f.sides.low;
            rows.push_back({f.date.empty() ? fmt::format("lesson {}", k + 1) : f.date, fmt::format("{:.1f}", f.green_speed_ft), fmt::format("{}", f.putts),
                            fmt::format("{} ({:.1f})", f.holed, f.expected), passed > 0 ? fmt::format("{} of {}", f.sides.low, passed) : "",
                            f.read_apart ? span(f.read_low, deg, 1, "high", "low") : "not told", f.putts > 0 ? span(f.start_line, deg, 1, "left", "right") : "not told",
                            (f.putts > 0 ? span(f.pace, 100, 0, "soft", "hard") : "not told") + (f.settled ? "" : "\nrough: the draws have not settled")});
        }
        d.table("Lessons", {{"Date", 70, true}, {"Speed, ft", 36}, {"Putts", 32}, {"Holed (expected)", 58}, {"Passed low", 46}, {"Own read, degrees", 94}, {"Start line, degrees", 94}, {"Pace, %", 84}}, rows);

        // What the last one tells, and what to do next.
        d.heading("The newest lesson");
        for (const std::string& s : tendency_sentences(e)) d.paragraph(as_sentence(in_units(s, feet)));
        if (w.retest) {
            const Told90& c = w.retest->change;
            d.paragraph(as_sentence(sentence_on({"Own read since the first phase", "degrees", "less low", "lower", 0.25, 1}, {deg * c.mean, deg * c.sd, deg * c.low, deg * c.high},
                                    w.retest->before_putts + w.retest->retest_putts)));
        }
        for (const PracticeAdvice& p : practice_advice(e)) d.paragraph("To practise: " + p.sentence + " Ready lesson: " + p.lesson + ".");
        d.paragraph(next_session(w));
        d.paragraph(short_cautions());

        rows.clear();
        for (std::size_t k = 0; k < w.truth.size(); ++k) {
            const StationTold& s = e.station[k];
            if (s.putts == 0) continue;
            rows.push_back({w.lesson.stations[k].place.label, tape_length(w.truth[k].distance_m, feet),
                            fmt::format("{} ± {:.0f}", cross_text(w.truth[k].offset_m, feet), std::max(1.0, kZ90 * w.truth[k].se_m / (feet ? kInch : 0.01))),
                            s.read ? span(*s.read, deg, 1, "left", "right") : "not told", fmt::format("{} of {}", s.holed, s.putts), fmt::format("{:.1f}", s.expected)});
        }
        d.table("Its stations", {{"Station", 40, true}, {"Length", 62}, {"True aim at the hole", 110}, {"Error of the own read, degrees", 140}, {"Holed", 60}, {"Expected", 60}}, rows);

        rows.clear();
        for (std::size_t k = 0; k < w.putts.size() && k < e.putt.size(); ++k) {
            const SeenPutt& p = w.putts[k].seen;
            const PuttErrors& t = e.putt[k];
            std::vector<std::string> row{fmt::format("{}", k + 1), w.lesson.stations[static_cast<std::size_t>(p.station)].place.label, phase_word(p),
                                         kOutcomeWords[static_cast<std::size_t>(p.outcome)]};
            if (!t.told) {
                row.push_back(t.why);
            } else {
                row.push_back(with_error(t.read, deg, 1, "left", "right"));
                row.push_back(with_error(t.start_line ? t.start_line : t.direction, deg, 1, "left", "right") + (t.start_line ? "" : " (with the read)"));
                row.push_back(t.pace_counted ? with_error(t.pace, 100, 0, "soft", "hard") : "off the centre");
                row.push_back(fmt::format("{:.0f} %", 100 * t.chance));
            }
            rows.push_back(std::move(row));
        }
        d.table("Putt by putt", {{"Putt", 30, true}, {"Station", 38}, {"Line", 52}, {"Outcome", 66}, {"Read, degrees", 84}, {"Start line, degrees", 104}, {"Pace, %", 80}, {"Chance", 42}}, rows);
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, 0}};
    };
    return draw(draw(0).result.pages);
}

}  // namespace brae
