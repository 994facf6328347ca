// The lesson card: a page to fill in by hand beside the green, in rain and sun, one line a putt, thirty of them. Its columns
// and codes are those that core/record/lesson_card.h reads when it is typed in.
#include "core/base/error.h"
#include "core/export/green_plan.h"
#include "core/export/sheet_kinds.h"
#include "core/export/wording.h"
#include "core/record/lesson_card.h"

#include <cairo.h>
#include <fmt/format.h>

namespace brae {
namespace {

constexpr int kLines = 30;
constexpr TextStyle kHead{7.5, true, 0}, kUnder{6.5, false, 0.2}, kCode{10, false, 0.3}, kNumber{8.5, true, 0};

struct CardColumn {
    const char *title, *under;
    double width;                              // share of the page
    std::vector<std::string> codes;            // ringed; empty: written
};

template <class Codes>
std::vector<std::string> list(const Codes& codes) {
    return {codes.begin(), codes.end()};
}

// In the order of kPrintedColumns, or kPrintedColumnsInFeet.
std::vector<CardColumn> columns(bool feet) {
    return {{"Station", "", 32, {}},
            {"Line", "ring one", 62, list(kPhaseCodes)},
            {"Own read", feet ? "in, left is \u2212" : "cm, left is \u2212", 44, {}},
            {"Aim", "seen", 42, list(kAimCodes)},
            {"Gate", "", 44, list(kGateCodes)},
            {"Strike", "", 42, list(kStrikeCodes)},
            {"Outcome", "ring one", 176, list(kOutcomeCodes)},
            {"Beyond", feet ? "ft, short is \u2212" : "m, short is \u2212", 46, {}},
            {"Right", feet ? "ft, left is \u2212" : "m, left is \u2212", 46, {}}};
}

// Which code means what, as a line a column.
std::vector<std::string> legend(bool feet) {
    const auto pairs = [](const auto& codes, const auto& words) {
        std::string out;
        for (std::size_t k = 0; k < codes.size(); ++k) out += fmt::format("{}{}\u00a0{}", k == 0 ? "" : ", ", codes[k], words[k]);
        return out;
    };
    std::string columns;
    for (const char* c : feet ? kPrintedColumnsInFeet : kPrintedColumns) columns += (columns.empty() ? "" : ",") + std::string(c);
    return {"Line: " + pairs(kPhaseCodes, kPhaseWords) + " (k: a mark picked on the marker's line).  Aim, seen from behind: " + pairs(kAimCodes, kAimWords) + ".  Gate: " +
                pairs(kGateCodes, kGateWords) + ".  Strike: " + pairs(kStrikeCodes, kStrikeWords) + ".",
            "Outcome: " + pairs(kOutcomeCodes, kOutcomeWords) + ".  Own read: where the player would start it, beside the hole's centre.  Beyond and right: where it stopped, "
                "from the hole along the line of the putt and to its right, by eye or by paces; where a tape was used say so in a column stop_source.",
            "Leave open what nobody saw. To type it in, a first line " + columns + " and then a line a putt; brae lesson card FILE --csv CARD.csv.",
            short_cautions()};
}

void draw_lines(Document& d, double top, double head, double row, bool feet) {
    cairo_t* cr = d.cairo();
    const std::vector<CardColumn> all = columns(feet);
    const double number = 24;
    double whole = 0;
    for (const CardColumn& c : all) whole += c.width;
    const double stretch = (d.width() - number) / whole, bottom = top + head + kLines * row;

    // Heads, and the codes in every line for ringing.
    double x = d.left() + number;
    for (const CardColumn& c : all) {
        const double width = c.width * stretch, centre = x + 0.5 * width;
        d.text(kHead, centre, top + 10, c.title, Align::centre);
        d.text(kUnder, centre, top + 19, c.under, Align::centre);
        // A box for each code, as wide as it wants.
        double wanted = 0, at = x;
        for (const std::string& code : c.codes) wanted += d.text_width(kCode, code) + 9;
        for (const std::string& code : c.codes) {
            const double box = width * (d.text_width(kCode, code) + 9) / wanted;
            for (int k = 0; k < kLines; ++k) d.text(kCode, at + 0.5 * box, top + head + (k + 0.5) * row + 3.6, code, Align::centre);
            at += box;
            if (&code != &c.codes.back()) d.line(at, top + head, at, bottom, 0.25, 0.7);
        }
        x += width;
        if (&c != &all.back()) d.line(x, top, x, bottom, 0.5, 0.2);
    }
    for (int k = 0; k < kLines; ++k) {
        d.text(kNumber, d.left() + number - 7, top + head + (k + 0.5) * row + 3, fmt::format("{}", k + 1), Align::right);
        // Every fifth rule is heavier: a wet thumb finds its line.
        d.line(d.left(), top + head + k * row, d.right(), top + head + k * row, k == 0 ? 0.9 : k % 5 == 0 ? 0.8 : 0.35, k % 5 == 0 ? 0 : 0.3);
    }
    d.line(d.left() + number, top, d.left() + number, bottom, 0.5, 0.2);
    cairo_rectangle(cr, d.left(), top, d.width(), bottom - top);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, 0.9);
    cairo_stroke(cr);
}

}  // namespace

DrawnSheet draw_card_sheet(const Green& green, const SheetRequest& request) {
    if (request.stations.empty()) throw usage_error("there are no stations to print a card for; plan some first");
    const auto draw = [&](int total_pages) {
        Document d(request.paper,
                   {"Lesson card", green.name, {request.date, fmt::format("Green speed {:.1f} ft", request.green_speed_ft)}, sheet_foot(green),
                    "For practice. Not for use during a round."},
                   total_pages);

        // Who, and what stands at each station: as much as one line holds.
        std::string stations;
        for (const PracticeStation& s : request.stations)
            stations += fmt::format("{}{}\u00a0{}", stations.empty() ? "" : ", ", s.label, tape_length(s.distance_m, request.feet_and_inches));
        d.text(kBody, d.left(), d.y + 8, "Player or code");
        d.line(d.left() + 66, d.y + 10, d.left() + 190, d.y + 10, 0.4);
        double x = d.left() + 202;
        // A card without a date has room for one.
        if (request.date.empty()) {
            d.text(kBody, x, d.y + 8, "Date");
            d.line(x + 24, d.y + 10, x + 92, d.y + 10, 0.4);
            x += 104;
        }
        d.text(kBody, x, d.y + 8, d.fitted(kBody, stations, d.right() - x));
        d.y += 18;

        // The legend takes what it needs, the lines share the rest.
        std::vector<std::string> lines;
        for (const std::string& l : legend(request.feet_and_inches))
            for (const std::string& part : d.wrapped(kUnder, l, d.width())) lines.push_back(part);
        const double legend_height = 8.2 * static_cast<double>(lines.size()) + 4, head = 24, row = (d.room() - legend_height - head) / kLines;
        draw_lines(d, d.y, head, row, request.feet_and_inches);
        d.y += head + kLines * row + 9;
        for (const std::string& l : lines) d.text(kUnder, d.left(), d.y, l), d.y += 8.2;
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, 0}};
    };
    return draw(draw(0).result.pages);
}

}  // namespace brae
