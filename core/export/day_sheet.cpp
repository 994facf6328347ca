#include "core/export/day_sheet.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/export/green_plan.h"
#include "core/export/green_sketch.h"
#include "core/export/sheet_kinds.h"
#include "core/export/wording.h"
#include "core/record/green_queries.h"

#include <algorithm>
#include <fmt/format.h>

namespace brae {
namespace {

constexpr TextStyle kName{22, true, 0}, kPlace{17, true, 0}, kFact{9, false, 0}, kQuiet{7.5, false, 0.25};
constexpr std::size_t kRows = 10;
constexpr double kGap = 14, kNameWidth = 46, kDrawing = 62;

const std::vector<std::string>& cautions() {
    static const std::vector<std::string> sentences{
        "Follow the committee's conditions and local rules. The greenkeeper decides: look at the place, scars, wet patches and wear "
        "before cutting.",
        "Keep people off treated turf until the re-entry time on the product's label has passed.",
        "Keep off frosted or frozen turf, and change no hole on waterlogged ground; a skipped day is written down with its reason.",
        "Play and machines stop for each other: be seen from the approach, wait for players to wave you on, and leave the green when a "
        "group has played to it.",
        "Lift with the legs and a straight back, two people for heavy loads; push the cutter straight down with both hands on its "
        "handle, feet and fingers clear of its edge; lay no tool where people walk.",
        "The cup is set at least 25 mm (1 in) below the surface, upright; the plug is levelled and watered."};
    return sentences;
}

std::string facts_of(const DayGreen& g, const std::string& date) {
    std::string out;
    if (g.paces) out = third_text(*g.paces);
    if (g.speed_ft) out += (out.empty() ? "" : ", ") + speed_words(g, date);
    return out;
}

// A text as large as its room allows: in one line down to the least size, then in more.
struct Lettering {
    TextStyle style;
    std::vector<std::string> lines;
    bool whole = true;        // false: an ellipsis stands for the rest
};
Lettering lettering(const Document& d, const TextStyle& largest, const std::string& text, double room, double least, std::size_t most = 1) {
    Lettering out{largest, {}};
    for (std::size_t lines = 1; lines <= most; ++lines)
        for (double size = largest.size; size >= least; size -= 0.5) {
            out.style.size = size;
            out.lines = d.wrapped(out.style, text, room, lines);
            // Words that are wider than the room are cut too.
            out.whole = std::none_of(out.lines.begin(), out.lines.end(), [](const std::string& l) { return l.ends_with("…"); }) || text.find("…") != std::string::npos;
            if (out.whole) return out;
        }
    return out;
}
// Draws it from a top on; what comes back is where it ends.
double draw_lettering(Document& d, const Lettering& what, double x, double top) {
    for (const std::string& line : what.lines) {
        top += what.style.size * 1.08;
        d.text(what.style, x, top - what.style.size * 0.2, line);
    }
    return top;
}

// Names stand beside the places where they are short, above them where they are not.
bool name_beside(const Document& d, const DayGreen& g) { return lettering(d, kName, g.green->name, kNameWidth - 6, 11).whole; }

// One green of the first page.
void draw_cell(Document& d, const DayGreen& g, const std::string& date, double x, double y, double width, double height, int scale, bool beside) {
    d.line(x, y + height, x + width, y + height, 0.3, 0.6);
    const double text = beside ? x + kNameWidth : x, room = width - (text - x) - kDrawing - 4;
    double at = y + (beside ? 7 : 3);
    if (beside) {
        const Lettering name = lettering(d, kName, g.green->name, kNameWidth - 6, 11);
        d.text(name.style, x, y + height / 2 + name.style.size * 0.36, name.lines.front());
    } else {
        at = draw_lettering(d, lettering(d, {13, true, 0}, g.green->name, room, 8, 2), x, at);
    }
    at = draw_lettering(d, lettering(d, beside ? kPlace : TextStyle{14.5, true, 0}, place_words(g), room, 9), text, at);
    at = draw_lettering(d, lettering(d, kFact, facts_of(g, date), room, 6.5), text, at + 2);
    // The further holes of a practice green, then how it is known: what the cell has room for.
    const std::string known = (g.others.empty() ? "" : other_words(g) + "; ") + g.state + (g.remark.empty() ? "" : "; " + g.remark);
    const auto lines = static_cast<std::size_t>(std::max(1.0, (y + height - 2 - at) / (kQuiet.size * 1.08)));
    draw_lettering(d, lettering(d, kQuiet, known, room, 6.5, std::min<std::size_t>(lines, 3)), text, at + 1);
    draw_sketch(d, g, x + width - kDrawing / 2, y + height / 2, scale);
}

// Which greens have no outline of their own, for under the cells; empty where all have.
std::string without_outline(const std::vector<DayGreen>& greens) {
    std::string names;
    std::size_t count = 0;
    for (const DayGreen& g : greens)
        if (g.green->terrain->outline.source() == OutlineSource::data_boundary) names += (count++ == 0 ? "" : ", ") + g.green->name;
    if (count == 0) return {};
    const std::string which = count == greens.size() ? "The greens have" : count > 4 ? fmt::format("{} of the greens have", count) : names + (count == 1 ? " has" : " have");
    return fmt::format(" {} no outline of {} own: paces there count from the boundary of the survey's data.", which, count == 1 && count != greens.size() ? "its" : "their");
}

void check_greens(const std::vector<DayGreen>& greens) {
    if (greens.empty()) throw usage_error("there are no greens to print");
    for (const DayGreen& g : greens)
        if (!g.green->terrain || g.green->terrain->outline.empty()) throw Error(fmt::format("the green '{}' has no outline, so it cannot be drawn", g.green->name));
    if (std::none_of(greens.begin(), greens.end(), [](const DayGreen& g) { return g.hole.has_value(); }))
        throw Error("no green has a hole for that day; accept a plan, or tell where the holes were cut with brae cut");
}

std::string foot_of(const std::vector<DayGreen>& greens) {
    return greens.size() == 1 ? sheet_foot(*greens.front().green) : fmt::format("{} greens, brae " BRAE_VERSION, greens.size());
}

}  // namespace

SheetResult write_day_sheet(const std::vector<DayGreen>& greens, const DaySheetRequest& request, const std::filesystem::path& file) {
    check_greens(greens);
    const auto draw = [&](int total_pages) {
        Document d(request.paper,
                   {"Hole positions", request.course, {request.date, "A pace is one yard"}, foot_of(greens), "The greenkeeper and the committee decide."},
                   total_pages);
        // The room of a cell follows the page; the small greens have one scale, and never one that may not be carried.
        const std::string unlined = without_outline(greens);
        const double strip = unlined.empty() ? 40 : 54, height = (d.room() - strip) / kRows, width = (d.width() - kGap) / 2;
        const int scale = sketch_scale(greens, kDrawing - 6, height - 8, {480, 500, 600, 750, 1000, 1250, 1500, 2000, 2500, 3000, 4000, 5000});
        if (scale == 0) throw Error("a green is too large to be drawn at 1:5000; its outline cannot be right");
        bool any_line = false, all_lines = true;
        for (const DayGreen& g : greens) {
            any_line = any_line || g.green->line_of_play;
            all_lines = all_lines && g.green->line_of_play;
        }
        for (std::size_t from = 0; from < greens.size(); from += 2 * kRows) {
            if (from > 0) d.new_page();
            const double top = d.top();
            // A few long names stand above; where they are many, all do.
            const bool many_short = 3 * std::count_if(greens.begin(), greens.end(), [&](const DayGreen& g) { return name_beside(d, g); }) >= 2 * static_cast<long>(greens.size());
            const std::size_t here = std::min(2 * kRows, greens.size() - from), rows = here > kRows ? (here + 1) / 2 : here;
            for (std::size_t k = 0; k < here; ++k)
                draw_cell(d, greens[from + k], request.date, d.left() + static_cast<double>(k / rows) * (width + kGap), top + static_cast<double>(k % rows) * height, width, height, scale,
                          many_short && name_beside(d, greens[from + k]));
            d.y = top + static_cast<double>(kRows) * height + 10;
            std::string how = "Paces on are counted along the line of play through the hole from where it crosses the front edge; from the side, square to it, to the nearer side "
                              "as players see it.";
            if (any_line) how += fmt::format(" The greens are drawn at 1:{}, the front edge down{}.", scale, all_lines ? "" : "; without a line of play, north up");
            how += unlined;
            for (const std::string& line : d.wrapped(kBody, how, d.width(), 4)) {
                d.text(kBody, d.left(), d.y + 8, line);
                d.y += 10.5;
            }
        }

        // Setting out, with room for what was really cut.
        d.new_page();
        std::vector<std::vector<std::string>> rows;
        const auto add_row = [&](const DayGreen& g, std::vector<std::string> row, std::optional<Vec2> hole) {
            const auto tapes = hole ? plan_tapes(tape_points(*g.green), *hole) : std::nullopt;
            if (tapes)
                for (const std::string& cell : tape_cells(*tapes, request.feet_and_inches)) row.push_back(cell);
            else if (hole)
                row.push_back("no two marks cross well here");
            rows.push_back(std::move(row));
        };
        for (const DayGreen& g : greens) {
            add_row(g, {g.green->name, place_words(g)}, g.hole);
            for (const Vec2& other : g.others) {
                const auto paces = g.green->line_of_play ? place_by_paces(g.green->terrain->outline, *g.green->line_of_play, other) : std::nullopt;
                add_row(g, {"", paces ? paces_text(*paces) : ""}, other);
            }
        }
        std::vector<TableColumn> columns{{"Green", 62, true}, {"Place", 74}};
        for (const TableColumn& c : tape_columns()) columns.push_back({c.title, c.width * 0.93});
        d.table("Setting out by tapes held level", columns, rows);
        d.paragraph(fmt::format("Side: as one stands on the first mark and looks at the second. The third tape checks the other two: measure again where it is more than {} off.",
                                request.feet_and_inches ? "1\u00a0in" : "3\u00a0cm"));
        rows.clear();
        for (const DayGreen& g : greens) rows.push_back({g.green->name, place_words(g), "        on,         left / right", "", ""});
        d.table("As cut, where it differs", {{"Green", 90, true}, {"On this sheet", 92}, {"Paces", 140}, {"Speed, ft", 50}, {"Why; by whom", 138}}, rows);
        d.numbered_box("Before a hole is cut", cautions());
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, scale}};
    };
    const DrawnSheet sheet = draw(draw(0).result.pages);
    write_file_safely(file, sheet.pdf);
    return sheet.result;
}

namespace {

constexpr TextStyle kCardTitle{10, true, 0}, kCardName{9, true, 0}, kCardPlace{8.5, true, 0}, kCardTiny{6.2, false, 0.15};
constexpr double kWidth = kCardWidthM * 1000 * kPointsPerMm, kHeight = kCardHeightM * 1000 * kPointsPerMm, kInset = 3 * kPointsPerMm;
constexpr double kHead = 30, kFoot = 34, kText = 25, kLeast = 74;   // points; kLeast: the words under a small green
constexpr double kLeastName = 6, kSecondLine = 8;                   // a long name shrinks so far, then takes a second line
static_assert(kCardWidthM <= kRoundPageWidthM && kCardHeightM <= kRoundPageHeightM);

// How many greens a card holds at a scale, with so much for the words under each.
struct CardGrid {
    int columns = 0, rows = 0;
    double text = kText;
    int count() const { return columns * rows; }
    double cell() const { return (kWidth - 2 * kInset) / columns; }
};
CardGrid grid_with(const std::vector<DayGreen>& greens, int scale, double text) {
    double widest = kLeast, deepest = 0;
    for (const DayGreen& g : greens) {
        const SketchSize s = sketch_size(g);
        widest = std::max(widest, s.width_m * points_per_metre(scale) + 6);
        deepest = std::max(deepest, s.depth_m * points_per_metre(scale));
    }
    return {static_cast<int>((kWidth - 2 * kInset) / widest), static_cast<int>((kHeight - 2 * kInset - kHead - kFoot) / (deepest + text + 5)), text};
}

std::string card_speed(const DayGreen& g) { return g.speed_ft && !g.speed_planned ? fmt::format("{:.1f}\u00a0ft", *g.speed_ft) : ""; }
bool card_name_beside(const Document& d, const DayGreen& g, double cell) {
    return d.text_width(kCardName, g.green->name) + d.text_width(kCardPlace, place_words(g)) + 9 <= cell;
}
Lettering card_name(const Document& d, const DayGreen& g, double cell) {
    return lettering(d, kCardPlace, g.green->name, cell - 4, kLeastName, 2);
}
CardGrid grid_at(const Document& d, const std::vector<DayGreen>& greens, int scale) {
    const CardGrid one = grid_with(greens, scale, kText);
    if (one.count() <= 0) return one;
    const bool second = std::any_of(greens.begin(), greens.end(),
                                    [&](const DayGreen& g) { return !card_name_beside(d, g, one.cell()) && card_name(d, g, one.cell()).lines.size() > 1; });
    return second ? grid_with(greens, scale, kText + kSecondLine) : one;
}

void draw_card(Document& d, double x, double y, const std::vector<DayGreen>& greens, std::size_t from, std::size_t count, CardGrid grid, int scale,
               const DaySheetRequest& request) {
    d.cutting_line(x, y, kWidth, kHeight);
    const double left = x + kInset, width = kWidth - 2 * kInset;
    d.text(kCardTitle, left, y + kInset + 9, d.fitted(kCardTitle, request.course.empty() ? "Hole positions" : request.course, width));
    const bool other_day = !request.date.empty() && std::any_of(greens.begin(), greens.end(), [&](const DayGreen& g) { return !card_speed(g).empty() && g.speed_date != request.date; });
    const std::string head = fmt::format("Hole positions{}; paces on, and from the nearer side{}", request.date.empty() ? "" : " of " + request.date,
                                         other_day ? "; speeds as last measured before" : "");
    double under = y + kInset + 18;
    for (const std::string& part : d.wrapped(kCardTiny, head, width, 2)) {
        d.text(kCardTiny, left, under, part);
        under += 7.2;
    }

    const double cell_width = width / grid.columns, cell_height = (kHeight - 2 * kInset - kHead - kFoot) / grid.rows;
    for (std::size_t k = 0; k < count && from + k < greens.size(); ++k) {
        const DayGreen& g = greens[from + k];
        const auto columns = static_cast<std::size_t>(grid.columns);
        const double cx = left + static_cast<double>(k % columns) * cell_width, cy = y + kInset + kHead + static_cast<double>(k / columns) * cell_height;
        draw_sketch(d, g, cx + cell_width / 2, cy + (cell_height - grid.text) / 2, scale);
        // A number stands beside the place; a longer name goes below it, in two lines where it must.
        const std::string speed = card_speed(g), place = place_words(g);
        const bool beside = card_name_beside(d, g, cell_width);
        const double words = cy + cell_height - (grid.text - 11);
        if (beside) {
            d.text(kCardName, cx + 2, words, g.green->name);
            d.text(kCardPlace, cx + d.text_width(kCardName, g.green->name) + 7, words, place);
            d.text(kCardTiny, cx + 2, words + 8.5, speed);
            continue;
        }
        const double speed_width = speed.empty() ? 0 : d.text_width(kCardTiny, speed) + 4;
        const Lettering fitting = lettering(d, kCardPlace, place, cell_width - 4 - speed_width, kLeastName);
        d.text(fitting.style, cx + 2, words, fitting.lines.front());
        const Lettering name = card_name(d, g, cell_width);
        for (std::size_t n = 0; n < name.lines.size(); ++n) d.text(name.style, cx + 2, words + 8.5 + static_cast<double>(n) * kSecondLine, name.lines[n]);
        d.text(kCardTiny, cx + cell_width - 2, words, speed, Align::right);
    }
    double at = y + kHeight - kInset - 24;
    const std::string foot = fmt::format("Greens at 1:{}, front edge down; 1:{} or smaller and this page size may be carried in a round (Rules of Golf, interpretation of Rule 4.3a). A committee "
                                         "may allow only its own book (Model Local Rule G-11). No line of play is shown.", scale, kRoundScale);
    for (const std::string& line : d.wrapped(kCardTiny, foot, width, 4)) {
        d.text(kCardTiny, left, at, line);
        at += 7.4;
    }
}

}  // namespace

SheetResult write_hole_card(const std::vector<DayGreen>& greens, const DaySheetRequest& request, const std::filesystem::path& file) {
    check_greens(greens);
    int scale = request.card_scale;
    if (scale != 0 && scale < kRoundScale)
        throw usage_error(fmt::format("the scale of the card is 1:{}; 1:{} or smaller is wanted for what may be carried in a round (Rules of Golf, interpretation of Rule 4.3a)", scale, kRoundScale));
    // Names are measured as they will be set.
    const Document measure(request.paper, {"", "", {}, "", ""}, 0);
    const auto cards_at = [&](int s) {
        const int each = grid_at(measure, greens, s).count();
        return each > 0 ? (static_cast<int>(greens.size()) + each - 1) / each : 0;
    };
    if (scale == 0)
        for (const int s : {480, 500, 600, 750, 1000, 1250, 1500, 2000, 2500, 3000}) {
            scale = s;
            if (const int cards = cards_at(s); cards > 0 && cards <= 2) break;
        }
    const CardGrid grid = grid_at(measure, greens, scale);
    if (grid.count() <= 0) throw usage_error(fmt::format("a green does not fit on a card of {:.0f} x {:.0f} mm at 1:{}; give a smaller scale", kCardWidthM * 1000, kCardHeightM * 1000, scale));
    const auto draw = [&](int total_pages) {
        Document d(request.paper, {"Hole card", request.course, {request.date}, foot_of(greens), "Cut along the dashes."}, total_pages);
        // As many on each card.
        const auto cards = static_cast<std::size_t>(cards_at(scale)), each = (greens.size() + cards - 1) / cards;
        int card = 0;
        for (std::size_t from = 0; from < greens.size(); from += each, ++card) {
            if (card > 0 && card % 2 == 0) d.new_page();
            draw_card(d, card % 2 == 0 ? d.left() : d.right() - kWidth, d.top(), greens, from, each, grid, scale, request);
        }
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, scale}};
    };
    const DrawnSheet sheet = draw(draw(0).result.pages);
    write_file_safely(file, sheet.pdf);
    return sheet.result;
}

}  // namespace brae
