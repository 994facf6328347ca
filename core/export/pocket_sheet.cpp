// The stations on a card for the pocket: large figures, twice on a page, one for the coach and one for the player.
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/export/green_plan.h"
#include "core/export/sheet_kinds.h"
#include "core/export/wording.h"
#include "core/plan/station_facts.h"
#include "core/plan/station_speeds.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace brae {
namespace {

// A card fits a shirt pocket and two stand side by side on A4 and Letter.
constexpr double kCardWidth = 88 * kPointsPerMm, kCardHeight = 200 * kPointsPerMm, kInset = 4 * kPointsPerMm;
// More stations than this do not fit on a card; the rest goes to the next page.
constexpr std::size_t kPerCard = 8;
constexpr std::size_t kNoteLines = 6;

// Type and leading grow together where few stations leave room.
struct Type {
    double grow = 1;
    TextStyle title() const { return {12 * grow, true, 0}; }
    TextStyle line() const { return {9.3 * grow, false, 0}; }
    TextStyle figure() const { return {13.5 * grow, true, 0}; }
    TextStyle fine() const { return {8.2 * grow, false, 0.15}; }
    double leading() const { return 10.4 * grow; }
    double indent() const { return 20 * grow; }
};
constexpr double kSizes[] = {1.4, 1.3, 1.2, 1.1, 1.0};

// A break to what a hand can set: whole centimetres or tenths of an inch.
std::string hand_length(double metres, bool feet) { return break_figure(metres, feet) + (feet ? "\u00a0in" : "\u00a0cm"); }

// "22 cm left" or where to aim inside the hole.
std::string aim_words(const PracticeStation& s, bool feet) {
    if (s.side == PuttSide::straight) return "the hole's centre";
    const char* side = s.aim_offset_m > 0 ? "right" : "left";
    if (!s.wants_marker()) return fmt::format("inside, {} {}", hand_length(s.break_m, feet), side);
    return fmt::format("{} {}", hand_length(s.break_m, feet), side);
}

// The finer print of one station, as lines of the card's width.
std::vector<std::string> fine_print(Document& d, const SheetRequest& request, std::size_t k, const Type& type, double width) {
    const bool feet = request.feet_and_inches;
    const PracticeStation& s = request.stations[k];
    std::string speeds;
    for (const BreakAtSpeed& b : k < request.speeds.size() ? request.speeds[k] : kept_breaks(s))
        if (std::abs(b.green_speed_ft - s.green_speed_ft) > 1e-6)
            speeds += fmt::format("{}{:.1f}{}:\u00a0{}", speeds.empty() ? "" : ", ", b.green_speed_ft, b.usual ? "\u00a0usual" : "",
                                  !b.break_m ? std::string("\u2013") : break_figure(*b.break_m, feet));
    const StartGate gate = start_gate(s);
    std::vector<std::string> out;
    const auto add = [&](const std::string& text, std::size_t most) {
        for (const std::string& l : d.wrapped(type.fine(), text, width - type.indent(), most)) out.push_back(l);
    };
    add(fmt::format("break, {}, at {}", feet ? "in" : "cm", speeds), 2);
    add(fmt::format("gate {} on, {}", tape_length(gate.ahead_m, feet), feet ? small_length(gate.width_m, true) + " wide" : fmt::format("{:.0f}\u00a0mm wide", 1000 * gate.width_m)), 1);
    if (const std::string note = note_without(s.note, shared_notes(request.stations)); !note.empty()) add(in_units(note, feet), kNoteLines);
    return out;
}

double station_height(const Type& type, std::size_t lines) { return 16 * type.grow + 11.5 * type.grow + type.leading() * static_cast<double>(lines) + 6; }
double head_height(const Type& type) { return 10 + 14 * type.grow + 8; }

std::vector<std::string> foot_lines(Document& d, const SheetRequest& request, const Type& type, double width) {
    std::string each;
    for (const std::string& note : request.warnings) each += "Note: " + as_sentence(in_units(note, request.feet_and_inches)) + "\n";
    const std::string notes = std::exchange(each, {});
    for (const std::string& note : shared_notes(request.stations)) each += (each.empty() ? "At each: " : "; ") + in_units(note, request.feet_and_inches);
    return d.wrapped({std::min(8.2, type.fine().size), false, 0.15},
                     notes + each + (each.empty() ? "" : ".\n") + "Aim: from the hole's centre, level with the hole. For practice only, not for use during a round (Rules of Golf; the committee's local rules). "
                     "Ask the greenkeeper; count pegs and strings out and in.", width);
}

// How many stations from `from` on stand on one card at this size.
std::size_t that_fit(Document& d, const SheetRequest& request, std::size_t from, const Type& type) {
    const double width = kCardWidth - 2 * kInset;
    double at = kInset + head_height(type);
    const double bottom = kCardHeight - kInset - 9.4 * static_cast<double>(foot_lines(d, request, type, width).size()) - 6;
    std::size_t n = 0;
    while (from + n < request.stations.size() && n < kPerCard) {
        at += station_height(type, fine_print(d, request, from + n, type, width).size());
        if (at > bottom && n > 0) break;
        ++n;
    }
    return n;
}

void draw_card(Document& d, double x, double y, const Green& green, const SheetRequest& request, std::size_t from, std::size_t count, const Type& type) {
    const bool feet = request.feet_and_inches;
    d.cutting_line(x, y, kCardWidth, kCardHeight);

    const double left = x + kInset, right = x + kCardWidth - kInset, width = right - left;
    double at = y + kInset + 10;
    const std::string lesson = request.stations.front().lesson;
    d.text(type.title(), left, at, d.fitted(type.title(), lesson.empty() ? "Practice stations" : lesson, width));
    at += 14 * type.grow;
    d.text(type.line(), left, at, d.fitted(type.line(), fmt::format("{}, speed {:.1f} ft{}{}", green.name, request.green_speed_ft, request.date.empty() ? "" : ", ", request.date), width));
    at += 8;
    d.line(left, at, right, at, 0.6);

    // A block a station: letter, length, aim, then the finer print.
    for (std::size_t k = from; k < from + count; ++k) {
        const PracticeStation& s = request.stations[k];
        at += 16 * type.grow;
        d.text(type.figure(), left, at, d.fitted(type.figure(), s.label, 0.12 * width));
        const std::string length = tape_length(s.distance_m, feet), aim = aim_words(s, feet);
        d.text(type.figure(), left + type.indent(), at, length);
        // The aim is never cut: in smaller type where the line is short.
        TextStyle figure = type.figure();
        const double beside = width - type.indent() - d.text_width(type.figure(), length) - 8;
        if (const double wide = d.text_width(figure, aim); wide > beside) figure.size *= beside / wide;
        d.text(figure, right, at, aim, Align::right);
        const BreakWidths widths = break_widths(s);
        at += 11.5 * type.grow;
        const double slope = s.slope_along_pct;
        const std::string ground = fmt::format("{}; {} past", std::abs(slope) < 0.05 ? "level" : fmt::format("{:.1f}\u00a0% {}", std::abs(slope), slope > 0 ? "up" : "down"), pace_length(s.past_m, feet));
        // Both stand there whole, in smaller type where the line is short.
        TextStyle line = type.line();
        std::string holes;
        if (s.wants_marker()) {
            holes = fmt::format("{:.1f} holes ({:.1f} from edge)", widths.holes, widths.edge_holes);
            const double room = width - type.indent() - 6;
            if (d.text_width(line, ground) + d.text_width(line, holes) > room) holes = fmt::format("{:.1f} holes", widths.holes);
            if (const double wide = d.text_width(line, ground) + d.text_width(line, holes); wide > room) line.size *= room / wide;
        }
        d.text(line, left + type.indent(), at, ground);
        d.text(line, right, at, holes, Align::right);
        for (const std::string& l : fine_print(d, request, k, type, width)) {
            at += type.leading();
            d.text(type.fine(), left + type.indent(), at, l);
        }
        at += 6;
        d.line(left, at, right, at, 0.25, 0.6);
    }

    // What holds, and the cautions, at the foot.
    const auto lines = foot_lines(d, request, type, width);
    double foot = y + kCardHeight - kInset - 9.4 * static_cast<double>(lines.size() - 1);
    for (const std::string& line : lines) {
        d.text({std::min(8.2, type.fine().size), false, 0.15}, left, foot, line);
        foot += 9.4;
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
        // As few cards as the smallest type allows, with as many stations each, in the largest type that keeps them there.
        std::size_t cards = 0;
        for (std::size_t from = 0; from < request.stations.size(); ++cards) from += that_fit(d, request, from, Type{1.0});
        const std::size_t each = (request.stations.size() + cards - 1) / cards;
        for (std::size_t from = 0; from < request.stations.size();) {
            if (from > 0) d.new_page();
            const std::size_t count = std::min(each, that_fit(d, request, from, Type{1.0}));
            Type type;
            for (const double size : kSizes)
                if (that_fit(d, request, from, {size}) >= count) {
                    type.grow = size;
                    break;
                }
            draw_card(d, d.left(), d.top(), green, request, from, count, type);
            draw_card(d, d.right() - kCardWidth, d.top(), green, request, from, count, type);
            from += count;
        }
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, 0}};
    };
    return draw(draw(0).result.pages);
}

}  // namespace brae
