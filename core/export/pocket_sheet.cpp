// The stations on a card for the pocket: large figures, twice on a page, one for the coach and one for the player.
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/export/green_plan.h"
#include "core/export/sheet_kinds.h"
#include "core/export/wording.h"
#include "core/plan/station_facts.h"
#include "core/plan/station_speeds.h"

#include <cairo.h>
#include <cmath>
#include <fmt/format.h>

namespace brae {
namespace {

// A card fits a shirt pocket and two stand side by side on A4 and Letter.
constexpr double kCardWidth = 88 * kPointsPerMm, kCardHeight = 200 * kPointsPerMm, kInset = 4 * kPointsPerMm;
constexpr TextStyle kTitle{11, true, 0}, kLine{8.5, false, 0}, kFigure{12, true, 0}, kTiny{7, false, 0.2};
// More stations than this do not fit on a card; the rest goes to the next page.
constexpr std::size_t kPerCard = 8;

// A break to what a hand can set: whole centimetres or tenths of an inch.
std::string hand_length(double metres, bool feet) {
    return feet ? fmt::format("{:.1f}\u00a0in", metres / kInch) : fmt::format("{:.0f}\u00a0cm", 100 * metres);
}

// "22 cm left" or where to aim inside the hole.
std::string aim_words(const PracticeStation& s, bool feet) {
    if (s.side == PuttSide::straight) return "the hole's centre";
    const char* side = s.aim_offset_m > 0 ? "right" : "left";
    if (!s.wants_marker()) return fmt::format("inside, {} {}", hand_length(s.break_m, feet), side);
    return fmt::format("{} {}", hand_length(s.break_m, feet), side);
}

void draw_card(Document& d, double x, double y, const Green& green, const SheetRequest& request, std::size_t from) {
    const bool feet = request.feet_and_inches;
    cairo_t* cr = d.cairo();
    // The line to cut along.
    cairo_save(cr);
    const double dash[] = {3, 3};
    cairo_set_dash(cr, dash, 2, 0);
    cairo_set_line_width(cr, 0.4);
    cairo_set_source_rgb(cr, 0.4, 0.4, 0.4);
    cairo_rectangle(cr, x, y, kCardWidth, kCardHeight);
    cairo_stroke(cr);
    cairo_restore(cr);

    const double left = x + kInset, right = x + kCardWidth - kInset, width = right - left;
    double at = y + kInset + 10;
    const std::string lesson = request.stations.front().lesson;
    d.text(kTitle, left, at, d.fitted(kTitle, lesson.empty() ? "Practice stations" : lesson, width));
    at += 13;
    d.text(kLine, left, at, d.fitted(kLine, fmt::format("{}, {:.1f} ft{}{}", green.name, request.green_speed_ft, request.date.empty() ? "" : ", ", request.date), width));
    at += 6;
    d.line(left, at, right, at, 0.6);

    // A block a station: letter, length, aim, then the finer print.
    for (std::size_t k = from; k < std::min(from + kPerCard, request.stations.size()); ++k) {
        const PracticeStation& s = request.stations[k];
        at += 15;
        d.text(kFigure, left, at, s.label);
        d.text(kFigure, left + 18, at, tape_length(s.distance_m, feet));
        d.text(kFigure, right, at, d.fitted(kFigure, aim_words(s, feet), 0.62 * width), Align::right);
        const StartGate gate = start_gate(s);
        const BreakWidths widths = break_widths(s);
        at += 10.5;
        const double slope = s.slope_along_pct;
        d.text(kLine, left + 18, at,
               fmt::format("{}; {} past", std::abs(slope) < 0.05 ? "level" : fmt::format("{:.1f}\u00a0% {}", std::abs(slope), slope > 0 ? "up" : "down"),
                           hand_length(s.past_m, feet)));
        if (s.wants_marker())
            d.text(kLine, right, at, fmt::format("{:.1f} holes ({:.1f} from edge)", widths.holes, widths.edge_holes), Align::right);
        at += 10;
        std::string speeds;
        for (const BreakAtSpeed& b : k < request.speeds.size() ? request.speeds[k] : kept_breaks(s))
            if (std::abs(b.green_speed_ft - s.green_speed_ft) > 1e-6)
                speeds += fmt::format("{}{:.1f}{}: {}", speeds.empty() ? "" : ",  ", b.green_speed_ft, b.usual ? " usual" : "",
                                      !b.break_m ? std::string("\u2013") : fmt::format("{:.0f}", feet ? *b.break_m / kInch : 100 * *b.break_m));
        d.text(kTiny, left + 18, at, d.fitted(kTiny, fmt::format("{} at {}", feet ? "in" : "cm", speeds), width - 18));
        at += 9;
        d.text(kTiny, left + 18, at,
               fmt::format("gate {} on, {}", tape_length(gate.ahead_m, feet),
                           feet ? small_length(gate.width_m, true) + " wide" : fmt::format("{:.0f}\u00a0mm wide", 1000 * gate.width_m)));
        if (!s.note.empty()) {
            at += 9;
            d.text(kTiny, left + 18, at, d.fitted(kTiny, s.note, width - 18));
        }
        at += 4;
        d.line(left, at, right, at, 0.25, 0.6);
    }

    // What holds, and the cautions, at the foot.
    double foot = y + kCardHeight - kInset;
    const auto lines = d.wrapped(kTiny, "Aim: from the hole's centre, level with the hole. For practice only, not for use during a round (Rules of Golf; the "
                                        "committee's local rules). Ask the greenkeeper; count pegs and strings out and in.", width);
    foot -= 8.5 * static_cast<double>(lines.size() - 1);
    for (const std::string& line : lines) {
        d.text(kTiny, left, foot, line);
        foot += 8.5;
    }
}

}  // namespace

DrawnSheet draw_pocket_sheet(const Green& green, const SheetRequest& request) {
    if (request.stations.empty()) throw usage_error("there are no stations to print; plan some first");
    const auto draw = [&](int total_pages) {
        Document d(request.paper,
                   {"Pocket card", green.name, {request.date, fmt::format("Green speed {:.1f} ft", request.green_speed_ft)}, sheet_foot(green),
                    "For practice. Not for use during a round."},
                   total_pages);
        for (std::size_t from = 0; from < request.stations.size(); from += kPerCard) {
            if (from > 0) d.new_page();
            const double gap = d.width() - 2 * kCardWidth;
            draw_card(d, d.left(), d.top(), green, request, from);
            draw_card(d, d.left() + kCardWidth + gap, d.top(), green, request, from);
        }
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, 0}};
    };
    return draw(draw(0).result.pages);
}

}  // namespace brae
